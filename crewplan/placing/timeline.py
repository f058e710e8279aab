"""The hours that a crew can work at a site, laid end to end.

The walk measures time by what the crew could do in it: person-hours of the table's pace that are
available since the horizon's start ('capacity'). Nights, breaks, days off and drives take none of
it, so that a placement is a stretch of one line, whatever it jumps over.
"""

from dataclasses import dataclass, replace
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.calendar import shift_hours
from crewplan.model.settings import Settings

ROUNDING_H = 1e-9


@dataclass(frozen=True, slots=True)
class DayShift:
    """Working time of a day, counted from the shift's start with the break left out."""

    am_h: float
    pm_h: float
    pieces: tuple[tuple[int, float, float], ...]
    """Index of the clock hour, from and to, in working hours of the day."""
    clock_hours: int
    """How many the day has."""
    over: tuple[tuple[int, float, float], ...] = ()
    """The same after the shift's end: overtime that may be worked."""

    @property
    def over_h(self) -> float:
        """Hours of overtime that may be worked."""
        return self.over[-1][2] - self.over[0][1] if self.over else 0.0

    def with_overtime(self, most_h: float) -> "DayShift":
        """The same day with no more than so many hours after the shift."""
        end = self.am_h + self.pm_h + most_h
        over = tuple((hour, x0, min(x1, end)) for hour, x0, x1 in self.over if x0 < end)
        return replace(self, over=over)


@dataclass(frozen=True, slots=True, eq=False)
class Timeline:
    """Capacity of a crew at a site over the half-days that it can use there.

    U usable half-days, J pieces of clock hours. Times are table person-hours of capacity.
    """

    cells: tuple[int, ...]
    """U half-days of the horizon, ascending."""
    starts: NDArray[np.float64]
    """U: when work begins if the placement starts with this half-day (after the drive out)."""
    ends: NDArray[np.float64]
    """U: when work ends if the placement ends with it (before the drive back), ascending."""
    may_start: NDArray[np.bool_]
    """U: whether the drives fit if the placement starts with it."""
    edges: NDArray[np.float64]
    """J + 1: where the pieces begin and end."""
    hour: NDArray[np.int64]
    """J: index of the clock hour of each piece."""
    person_h: NDArray[np.float64]
    """J: person-hours on site for one hour of capacity."""
    regular: NDArray[np.float64]
    """U: when work ends if the placement ends with it and nobody works overtime."""


def shift_of_days(
    settings: Settings, days: tuple[date, ...], over_h: float = 0.0
) -> tuple[tuple[datetime, ...], tuple[DayShift, ...]]:
    """All clock hours that the days' shifts touch, and each day's working time in them.

    `over_h` hours of overtime may follow each shift.
    """
    hour_starts: list[datetime] = []
    shifts: list[DayShift] = []
    for day in days:
        hours = shift_hours(settings, day, over_h)
        pieces: list[tuple[int, float, float]] = []
        x = 0.0
        for half in ("am_h", "pm_h", "over_h"):
            for i, hour in enumerate(hours, start=len(hour_starts)):
                length = getattr(hour, half)
                if length > 0:
                    pieces.append((i, x, x + length))
                    x += length
        am_h, pm_h = (sum(getattr(hour, half) for hour in hours) for half in ("am_h", "pm_h"))
        late = sum(hour.over_h > 0 for hour in hours)
        regular, over = pieces[: len(pieces) - late], pieces[len(pieces) - late :]
        shifts.append(DayShift(am_h, pm_h, tuple(regular), len(hours), tuple(over)))
        hour_starts.extend(hour.start for hour in hours)
    return tuple(hour_starts), tuple(shifts)


def timeline(
    shifts: tuple[DayShift, ...],
    usable: tuple[int, ...],
    pace: NDArray[np.float64],
    count: NDArray[np.int64],
    drive_h: float,
    overtime: bool = False,
) -> Timeline:
    """Lay the usable days (indices) end to end for a crew that drives `drive_h` each way.

    The drive out lies at the start of the day's first half-day of the placement and the drive back
    at the end of its last; a half-day too short for both is no placement's only one of a day. Where
    not even a whole day holds both, the timeline is empty. With `overtime` each day is longer by
    all that may be worked.
    """
    cells: list[int] = []
    starts: list[float] = []
    ends: list[float] = []
    may_start: list[bool] = []
    edges = [0.0]
    hour: list[int] = []
    person_h: list[float] = []
    regular: list[float] = []
    for day in usable:
        shift, speed = shifts[day], float(pace[day])
        over_h = shift.over_h if overtime else 0.0
        whole = shift.am_h + shift.pm_h + over_h
        first, last = drive_h, whole - drive_h
        if last < first - ROUNDING_H:
            continue
        base, each_h = edges[-1], float(count[day]) / speed
        for index, x0, x1 in (*shift.pieces, *(shift.over if overtime else ())):
            worked = min(x1, last) - max(x0, first)
            if worked > ROUNDING_H:
                edges.append(edges[-1] + worked * speed)
                hour.append(index)
                person_h.append(each_h)
        before = ends[-1] if ends else -1.0

        def at(x: float, first: float = first, last: float = last) -> float:
            return (min(max(x, first), last) - first) * speed  # noqa: B023 (used in this round only)

        am_fits = 2 * drive_h <= shift.am_h + ROUNDING_H
        cells += (2 * day, 2 * day + 1)
        starts += (base, base + at(shift.am_h + drive_h))
        ends += (base + at(shift.am_h - drive_h) if am_fits else before, base + at(last))
        # before the day's first work where the drives alone take longer than the shift
        regular += (ends[-2], base + (last - over_h - first) * speed)
        may_start += (True, 2 * drive_h <= shift.pm_h + over_h + ROUNDING_H)
    return Timeline(
        tuple(cells),
        np.array(starts, dtype=np.float64),
        np.array(ends, dtype=np.float64),
        np.array(may_start, dtype=np.bool_),
        np.array(edges, dtype=np.float64),
        np.array(hour, dtype=np.int64),
        np.array(person_h, dtype=np.float64),
        np.array(regular, dtype=np.float64),
    )
