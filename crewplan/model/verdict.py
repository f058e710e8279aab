"""The weather gate's answers."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from crewplan.model.work_rows import Exposure

Verdict = Literal["go", "no-go", "unknown"]


@dataclass(frozen=True, slots=True)
class HourVerdict:
    """One hour of the shift; the measure, value and limit that decide it."""

    hour: datetime
    """Local, with offset."""
    verdict: Verdict
    measure: str
    """The one that is nearest to its limit, or breaks it in most members."""
    value: float | None
    """Of `measure`, in `unit`, at the level that the gate asks for; None: unknown."""
    limit: float | None
    unit: str
    p_go: float
    cautions: tuple[str, ...] = ()
    gust_mps: float | None = None
    """Forecast gust, the mean of the members; None: some member's is not known."""


@dataclass(frozen=True, slots=True)
class Window:
    """A run of go hours, long enough, in which the same members are good throughout."""

    start: datetime
    end: datetime
    p_go: float


@dataclass(frozen=True, slots=True)
class DayVerdict:
    """Verdict of one day and exposure at one place. Advice only; a no-go stops."""

    day: date
    exposure: Exposure
    job: str
    """Empty: the branch's own place."""
    stage: str
    place: str
    """Empty where the forecast names none, or there is none in reach."""
    place_distance_km: float | None
    verdict: Verdict
    why: str
    """One sentence."""
    window_needed_h: float
    windows: tuple[Window, ...]
    hours: tuple[HourVerdict, ...]
    asked_at: datetime
    void_after: datetime | None
    """None where there is nothing to become void (no forecast at all)."""
    age_h: float | None
    """Of the oldest forecast used."""
    clock: Literal["now", "set by hand"]
    sources: tuple[str, ...]
    """Limits obeyed with their sources; then rows looser than the package's or taken away."""
    alpha_hours: tuple[datetime, ...] = ()
    """Hours of the shift in which the forecast is within alpha x limit for mean wind and gust, as
    marine practice plans: beside the verdict, never in its place."""
