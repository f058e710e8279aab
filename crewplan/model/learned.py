"""What the hours worked say about the rates, and how the forecasts before held."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

LeftOutKind = Literal["long day", "far off"]
UnusedKind = Literal[
    "hours after the last progress", "hours without progress", "steps without hours"
]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Hours that nothing is learned from, since they can hardly be right."""

    kind: LeftOutKind
    hours_h: float
    """Person-hours; of a line of work, of the table's pace."""
    high_h: float
    """The most that is believed."""
    low_h: float = 0.0
    """The least."""
    expected_h: float | None = None
    """What all other hours make of this work."""
    day: date | None = None
    person: str = ""
    stage: str = ""
    step: str = ""
    """Empty: the stage as a whole."""


@dataclass(frozen=True, slots=True)
class Unused:
    """Part of the record that says nothing about rates."""

    kind: UnusedKind
    amount: float
    """Person-hours, or how many steps of stages."""


@dataclass(frozen=True, slots=True)
class LearnedRate:
    """One row of `rates`, and what it becomes. Rates are person-hours for a unit of the driver."""

    step: str
    driver: str
    prior: float
    learned: float
    """As likely too low as too high; the prior itself where there are no data."""
    low: float
    high: float
    """Nine of ten such intervals hold the rate."""
    stages: int
    """How many stages stand behind it; 0: it is the prior."""
    evidence: float
    """0 all prior, 1 all data: what the data took from the variance of the rate's logarithm."""
    uncertainty: float
    """Standard deviation of the rate / the rate."""
    prior_spread: float
    """Standard deviation / mean of a stage's hours, as the table has it."""
    spread: float
    """The same as learned, the rate's uncertainty included."""
    source: str
    """Of the prior."""


@dataclass(frozen=True, slots=True)
class CrewPace:
    """Hours of the table's work that a crew does in an hour, beyond its people's own paces."""

    crew: str
    pace: float
    low: float
    high: float
    """Nine of ten such intervals hold it."""
    stages: int
    """0: nothing is known, so 1."""


@dataclass(frozen=True, slots=True)
class LearnedRates:
    """What the record says up to the end of a day."""

    as_of: date
    stages: int
    """Stages that anything was learned from."""
    rates: tuple[LearnedRate, ...]
    """In the order of the table."""
    crews: tuple[CrewPace, ...]
    left_out: tuple[LeftOut, ...]
    unused: tuple[Unused, ...]


Forecaster = Literal["table", "learned before"]
Holds = Literal["too few", "agrees", "too low", "too high"]


@dataclass(frozen=True, slots=True)
class Held:
    """How often actual hours stayed under a quantile of their forecast."""

    by: Forecaster
    quantile: float
    cases: int
    under: int
    low: float
    high: float
    """Nine of ten such intervals hold the true share (Clopper and Pearson)."""
    holds: Holds
    """`too low`: hours went over that quantile more often than it says."""

    @property
    def share(self) -> float | None:
        """Of the cases; None without any."""
        return self.under / self.cases if self.cases else None


@dataclass(frozen=True, slots=True)
class StageCase:
    """A finished stage against its forecasts, person-hours of the table's pace."""

    stage: str
    begun_on: date
    actual_h: float
    p50_h: dict[Forecaster, float]
    p80_h: dict[Forecaster, float]
    p90_h: dict[Forecaster, float]


@dataclass(frozen=True, slots=True)
class Calibration:
    """All finished stages against what was forecast for them."""

    as_of: date
    held: tuple[Held, ...]
    cases: tuple[StageCase, ...]
    """By the day on which they began."""
    not_counted: int
    """Finished stages whose hours are not all known."""
