"""When a crew might leave a job open and come back: around half-days that the weather mostly shuts.

A stage may be broken off where what is left of it cannot well be done for a while. Such half-days
are found per site, so that there are few breaks to try, and none at all where the weather is good.
"""

from collections.abc import Sequence
from typing import NamedTuple

from crewplan.placing.levels import Levels
from crewplan.placing.timeline import DayShift

POOR = 0.5
"""A half-day is poor if the most exposed work is open in less than this share of its hours, over
all members. Assumed."""
LEAVE_WITHIN = 4
BACK_WITHIN = 4
"""The crew leaves in one of the first poor half-days of a run, and is back in one of the first
after it. With half as many of each, an eighth of what was saved in five invented windy weeks was
saved no more (8 crews, 40 stages, 2026-11-26)."""
MOST_BREAKS = 24


class Break(NamedTuple):
    """Half-days of the horizon, by index."""

    leave: int
    """The first without the crew."""
    back: int
    """The first with it again."""


def _poor(levels: Levels, exposed: int, shifts: Sequence[DayShift]) -> list[bool]:
    """By half-day of the horizon."""
    open_share = levels.weight @ (levels.level >= exposed) / levels.members
    found: list[bool] = []
    for shift in shifts:
        for half in (0, 1):
            own = [(i, b - a) for i, a, b in shift.pieces if (a >= shift.am_h) == bool(half)]
            there = sum(length for _, length in own)
            worked = sum(open_share[i] * length for i, length in own)
            found.append(there > 0 and float(worked) < POOR * there)
    return found


def breaks_of(levels: Levels, exposed: int, shifts: Sequence[DayShift]) -> tuple[Break, ...]:
    """Breaks worth trying for a stage whose most exposed step needs `exposed`, soonest first."""
    poor = _poor(levels, exposed, shifts)
    found: list[Break] = []
    cell = 0
    while cell < len(poor):
        if not poor[cell]:
            cell += 1
            continue
        end = cell
        while end < len(poor) and poor[end]:
            end += 1
        found += [
            Break(leave, back)
            for leave in range(cell, min(cell + LEAVE_WITHIN, end))
            for back in range(end, min(end + BACK_WITHIN, len(poor)))
        ]
        cell = end
    return tuple(sorted(found, key=lambda one: (one.back - one.leave, one)))[:MOST_BREAKS]
