"""By which day a chance is reached."""

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

HALF, LIKELY = 0.5, 0.8
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Dates:
    """Days by which something is in hand with so much chance; None: the record does not say."""

    half_on: date | None
    """50 %."""
    likely_on: date | None
    """80 %."""


def first_reaching(p: NDArray[np.float64], days: tuple[date, ...], share: float) -> date | None:
    """The first of `days` by which a chance that never falls is at least `share`."""
    enough = np.flatnonzero(p >= share - _ROUNDING)
    return days[int(enough[0])] if enough.size else None


def dates(p: NDArray[np.float64], days: tuple[date, ...]) -> Dates:
    """The days of 50 % and 80 %; nothing is extrapolated past the record."""
    return Dates(first_reaching(p, days, HALF), first_reaching(p, days, LIKELY))
