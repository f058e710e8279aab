"""Person-hours of a stage by step, with spread."""

from dataclasses import dataclass

from crewplan.model.work_rows import Exposure


@dataclass(frozen=True, slots=True)
class StepHours:
    """What is left of one step of a stage."""

    step: str
    exposure: Exposure
    after: tuple[str, ...]
    """Steps of the same stage that still have hours and come before it."""
    p50_h: float
    """Person-hours of the table's pace."""
    spread: float
    """Standard deviation / mean."""
    min_people: int
    source: str


@dataclass(frozen=True, slots=True)
class StageHours:
    """What is left of a stage, in an order in which every step follows those before it."""

    stage: str
    steps: tuple[StepHours, ...]
    planned_h: float
    """Person-hours of the whole stage, done or not."""
    p50_h: float
    p80_h: float
    p90_h: float
    spread: float
    """Of the stage's remaining hours as a whole."""
    done: bool
    """All of its steps that have hours are at 1."""
    begun: bool
    """Some step has a share above 0."""
    again_p80_h: float = 0.0
    """Person-hours of the steps that are done again when a crew comes back, at P80."""
    undone_p80_h: float = 0.0
    """Of them, what was done already and is to be done anew by a crew that comes back."""
    again_exposure: Exposure = "ground"
    """The most exposed of them."""

    @property
    def exposed(self) -> bool:
        """Whether anybody still has to be on the roof or lift."""
        return any(step.exposure != "ground" for step in self.steps)
