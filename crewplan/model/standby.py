"""What a crew does on a day on which the weather stops what was planned."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from crewplan.model.placement import Placement

Instead = Literal["ground work on site", "another stage", "another site", "nothing"]
"""On the same site; a stage that nobody has to be on a roof for; roof work with better chances."""


@dataclass(frozen=True, slots=True)
class AtRisk:
    """A visit with roof or lift work on one day."""

    crew: str
    stage: str
    job: str
    cells: tuple[int, ...]
    """Its half-days of that day."""
    p_go: float
    first_day: bool
    """It begins on that day, so that all of its ground work is still to do."""


@dataclass(frozen=True, slots=True)
class Standby:
    """Chosen ahead, for one crew and day."""

    day: date
    crew: str
    stage: str
    """The stage that may not go."""
    p_no_go: float
    instead: Instead
    placement: Placement | None = None
    """Where it is another stage: it passes all rules there, the first one not being done."""
    job: str = ""
    """The other stage's, or the same one; empty: nothing."""
    steps: tuple[str, ...] = ()
    """Where it is ground work on site."""
    hours: float = 0.0
    """Person-hours of the table's pace that are used."""
    cents: int = 0
    """What it costs more than waiting; below 0: it saves."""
