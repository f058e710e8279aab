"""What planning expected of each placement, and what came of it."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

ChanceOf = Literal["go", "finish", "ready"]
"""Weather lets the work be done; it is done by its last day; all that it waits for is there."""


@dataclass(frozen=True, slots=True)
class Expectation:
    """What a published plan expected of one placement."""

    stage: str
    job: str
    crew: str
    days: tuple[date, ...]
    """Those that it has half-days on, ascending."""
    starts_at: datetime
    """Local, with offset: when its first half-day begins."""
    exposed: bool
    """Somebody has to be on the roof or lift; else weather has no part in `p_go`."""
    p_go: float
    p_finish: float
    p_ready: float
    lost_h: float
    """Person-hours on site in which no step can be done."""


@dataclass(frozen=True, slots=True)
class KeptExpectation:
    """An expectation with the plan that it is from."""

    plan: int
    asked_at: datetime
    """What the clock said when the plan was made."""
    expected: Expectation


@dataclass(frozen=True, slots=True)
class ChanceBin:
    """Placements that were given about the same chance."""

    of: ChanceOf
    low: float
    high: float
    """Chances from `low` up to `high`, which itself is in the next bin; 1 is a bin of its own."""
    cases: int
    mean: float
    """Of the chances told."""
    happened: int
    interval: tuple[float, float]
    """Clopper and Pearson's, of the share that happened: nine of ten such hold the true share."""
    enough: bool
    """Whether there are cases enough to conclude anything."""

    @property
    def share(self) -> float:
        """Of the cases, those in which it happened."""
        return self.happened / self.cases

    @property
    def holds(self) -> bool:
        """Whether what was told lies within what the record allows."""
        return self.interval[0] <= self.mean <= self.interval[1]


@dataclass(frozen=True, slots=True)
class WeatherHours:
    """Hours that weather was expected to cost, against those that it cost."""

    cases: int
    expected_h: float
    lost_h: Decimal
    enough: bool


@dataclass(frozen=True, slots=True)
class ExpectedAndHappened:
    """All placements that were over on a day."""

    as_of: date
    plans: int
    """Published with what they expected."""
    judged: int
    not_written: int
    """Over, and nothing was written down on their days."""
    to_come: int
    bins: tuple[ChanceBin, ...]
    hours: WeatherHours
