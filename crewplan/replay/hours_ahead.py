"""How much of the day that is decided is open, by what the forecast says of the branch's place."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import ShiftHour, shift_hours
from crewplan.replay.morning import Morning
from crewplan.weather import open_hours

Floats = NDArray[np.float64]


def _ahead(morning: Morning, length_h: Callable[[ShiftHour], float], hopeful: bool) -> Floats:
    """[3, M] of the hours of the shift, each as long as is asked for."""
    settings = morning.branch.settings
    pieces = shift_hours(settings, morning.day)
    starts = [hour.start for hour in pieces]
    here = (settings.latitude, settings.longitude)
    told = open_hours(morning.branch, starts, morning.now, *here, purpose="planning")
    lengths_h = np.array([length_h(hour) for hour in pieces])
    return np.asarray((told.hopeful if hopeful else told.good) @ lengths_h)


def open_h(morning: Morning, *, hopeful: bool = False) -> Floats:
    """[3, M] working hours of the day open for ground, roof and lift, member by member.

    `hopeful`: an hour of which a value is missing counts as if that were good.
    """
    return _ahead(morning, lambda hour: hour.am_h + hour.pm_h, hopeful)


def afternoon_share(morning: Morning) -> Floats:
    """[3] of the afternoon's working hours: expected to be open for ground, roof and lift.

    Mean over members; 0 where nothing is known.
    """
    afternoon_h = sum(hour.pm_h for hour in shift_hours(morning.branch.settings, morning.day))
    told = _ahead(morning, lambda hour: hour.pm_h, hopeful=False)
    if not told.shape[1] or not afternoon_h:
        return np.zeros(len(told))
    return np.asarray(told.mean(axis=1) / afternoon_h)
