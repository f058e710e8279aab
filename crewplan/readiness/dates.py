"""By which day a chance is reached."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.readiness.waits import Waits

HALF, LIKELY = 0.5, 0.8
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Dates:
    """Days by which something is in hand with so much chance; None: the record does not say."""

    half_on: date | None
    """50 %."""
    likely_on: date | None
    """80 %."""
    half_past_record: date | None = None
    """Where the record does not reach 50 %: by the law laid through it. A guess, to be marked."""
    likely_past_record: date | None = None
    """The same for 80 %."""

    @property
    def known(self) -> bool:
        """Both by the record."""
        return self.half_on is not None and self.likely_on is not None


def first_reaching(p: NDArray[np.float64], days: tuple[date, ...], share: float) -> date | None:
    """The first of `days` by which a chance is at least `share`."""
    enough = np.flatnonzero(p >= share - _ROUNDING)
    return days[int(enough[0])] if enough.size else None


def dates(p: NDArray[np.float64], days: tuple[date, ...]) -> Dates:
    """The days of 50 % and 80 %; nothing is extrapolated past the record."""
    return Dates(first_reaching(p, days, HALF), first_reaching(p, days, LIKELY))


def with_guess(told: Dates, p_past: NDArray[np.float64], days: tuple[date, ...]) -> Dates:
    """The same, with guesses where the record does not say, from chances that go on past it."""
    return replace(
        told,
        half_past_record=first_reaching(p_past, days, HALF) if told.half_on is None else None,
        likely_past_record=(
            first_reaching(p_past, days, LIKELY) if told.likely_on is None else None
        ),
    )


def dates_if_asked(waits: Waits, asked_on: date, furthest_days: int) -> Dates:
    """The days of 50 % and 80 % of a request made on a day, with guesses past the record."""

    def day(share: float, days_for: Callable[[float], int | None]) -> date | None:
        lead = days_for(share)
        return None if lead is None else waits.clock.reached(asked_on, lead)

    def guess(share: float) -> int | None:
        chance = waits.beyond(np.arange(furthest_days + 1, dtype=np.float64), 0)
        enough = np.flatnonzero(chance >= share) if chance is not None else np.empty(0, np.int64)
        return int(enough[0]) if enough.size else None

    told = Dates(day(HALF, waits.days_for), day(LIKELY, waits.days_for))
    return replace(
        told,
        half_past_record=None if told.half_on else day(HALF, guess),
        likely_past_record=None if told.likely_on else day(LIKELY, guess),
    )
