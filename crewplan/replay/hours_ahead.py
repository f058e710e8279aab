"""How much of the day that is decided is open, by what the forecast says of the branch's place."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import shift_hours
from crewplan.replay.morning import Morning
from crewplan.weather import open_hours


def open_h(morning: Morning, *, hopeful: bool = False) -> NDArray[np.float64]:
    """[3, M] working hours of the day open for ground, roof and lift, member by member.

    `hopeful`: an hour of which a value is missing counts as if that were good.
    """
    settings = morning.branch.settings
    pieces = shift_hours(settings, morning.day)
    starts = [hour.start for hour in pieces]
    here = (settings.latitude, settings.longitude)
    told = open_hours(morning.branch, starts, morning.now, *here, purpose="planning")
    length_h = np.array([hour.am_h + hour.pm_h for hour in pieces])
    return np.asarray((told.hopeful if hopeful else told.good) @ length_h)
