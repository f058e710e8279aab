"""Hours that wait, hours that crews have, and what is left of a day for somebody new.

Each day the classes of work are served in a fixed order, each as far as crews' hours can be shared
out so that all before it are served as well: the most that can be served of the first k classes is
the least, over all sets of crews, of these crews' hours and the hours of classes that others may do
too (the minimum cut of a bipartite flow). In such a flow work and crews are complements and works
are substitutes (Shapley, 1962), so that what is left of each class at the end of a day never grows
with a crew's hours and never shrinks with work that was there. Releases do not depend on the queue.
So it holds over all days: more crews never make the new job later, more backlog never earlier.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Crews:
    """C crews over T working days, and which of K classes of work each may do."""

    hours: Floats
    """[C, T] person-hours of the table's pace."""
    may: Bools
    """[K, C, T]."""


@dataclass(frozen=True, slots=True, eq=False)
class Served:
    """What D draws of T days came to."""

    left: Floats
    """[D, T, K] hours of each class that are ready and not done at the end of the day."""
    free: Floats
    """[D, T, N] hours that one crew which may do a new class has left on the day."""


def _unions(may: Bools) -> Bools:
    """[U, C] all sets of crews that are unions of the classes' sets; the empty one first."""
    found = {np.zeros(may.shape[1], np.bool_).tobytes()}
    for crews in np.unique(may, axis=0):
        found |= {(np.frombuffer(one, np.bool_) | crews).tobytes() for one in found}
    return np.array([np.frombuffer(one, np.bool_) for one in sorted(found)], dtype=np.bool_)


class _Day:
    """Sets of crews of one day, and which classes can be done outside of each."""

    def __init__(self, may: Bools) -> None:
        sets = _unions(may)
        self.sets = sets.astype(np.float64)
        # a class reaches outside of a set where one of its crews is not in it
        self.outside = np.einsum("kc,uc->uk", may, ~sets) > 0


def serve(crews: Crews, arrivals: Floats, productive: Floats) -> Served:
    """Serve the first K classes day by day; the N classes behind them see what is left.

    Args:
        crews: with K + N classes.
        arrivals: [D, T, K] hours of work that become ready at the start of the day.
        productive: [D, T, K] share of a crew's hour in which work of the class gets on.
    """
    draws, days, known = arrivals.shape
    new = len(crews.may) - known
    left = np.zeros((draws, known))
    told_left = np.zeros((draws, days, known))
    free = np.zeros((draws, days, new))
    seen: dict[bytes, _Day] = {}
    for day in range(days):
        may = crews.may[:, :, day]
        key = may.tobytes()
        if key not in seen:
            seen[key] = _Day(may)
        of_day = seen[key]
        hours = crews.hours[:, day]
        share = productive[:, day]
        left = left + arrivals[:, day]
        wanted = np.divide(left, share, out=np.zeros_like(left), where=share > 0)
        cut = np.broadcast_to(of_day.sets @ hours, (draws, len(of_day.sets))).copy()
        before = np.zeros(draws)
        for row in range(known):
            cut += wanted[:, row, None] * of_day.outside[:, row]
            most = cut.min(axis=1)
            left[:, row] -= np.minimum((most - before) * share[:, row], left[:, row])
            before = most
        told_left[:, day] = left
        for row in range(new):
            inside = ~of_day.outside[:, known + row]
            one_crew = float((hours * may[known + row]).max(initial=0.0))
            more = cut[:, inside].min(axis=1) - before
            free[:, day, row] = np.clip(more, 0.0, one_crew)
    return Served(told_left, free)


def done_on(free: Floats, work: Floats, start: Floats) -> Floats:
    """Index of the day on which work is done that takes all free hours from a day on.

    Args:
        free: [D, T] hours.
        work: [D] hours.
        start: [D] index of the first day; infinite: never.

    Returns:
        [D]; infinite where it is not done within the T days.
    """
    draws, days = free.shape
    total = np.zeros((draws, days + 1))
    np.cumsum(free, axis=1, out=total[:, 1:])
    begins = start < days
    first = np.where(begins, start, 0).astype(np.int64)
    goal = total[np.arange(draws), first] + work
    end = np.maximum((total[:, 1:] < goal[:, None] - 1e-9).sum(axis=1), first)
    return np.where(begins & (end < days), end.astype(np.float64), np.inf)
