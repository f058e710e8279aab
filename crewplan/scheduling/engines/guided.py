"""A choice filled up in the order that the relaxation likes."""

import numpy as np
from scipy import sparse

from crewplan.scheduling.engines.relaxation import Relaxation
from crewplan.scheduling.fill import fill
from crewplan.scheduling.selection import NO_LOWER, Picked, Selection

_IN_PART = 1e-6
"""Less of a column than this is a solver's dust."""


def seated(selection: Selection, start: Picked) -> Picked:
    """Of a choice, what its rows with a lower end ask for, and what that stands on."""
    asked = np.flatnonzero(selection.lower != NO_LOWER)
    touched = np.unique(selection.matrix[asked].indices)
    seats = np.zeros_like(start)
    seats[touched] = start[touched]
    while True:
        over = np.flatnonzero(selection.activity(seats) > selection.upper)
        by_row = selection.matrix[over]
        helps = np.unique(by_row.indices[by_row.data < 0])
        more = helps[start[helps] & ~seats[helps]]
        if len(more) == 0:
            return seats
        seats[more] = True


def _fitting(selection: Selection, picked: Picked, by_column: sparse.csc_array) -> Picked:
    """Columns of which each by itself would fit beside what is picked."""
    room = np.maximum(selection.upper - selection.activity(picked), 0)
    over = by_column.data > room[by_column.indices]
    return ~np.logical_or.reduceat(np.append(over, False), by_column.indptr[:-1]) & ~picked


def guided(selection: Selection, start: Picked, relaxed: Relaxation) -> Picked:
    """Filled up by how much of a column the relaxation takes, then by what it adds at least.

    What follows another column may only fit once that is there, so that each order is gone through
    until nothing more fits. The start's seats are kept: rows with a lower end hold by them alone.
    """
    by_column = sparse.csc_array(selection.matrix)
    saves = selection.cost < 0
    in_part = np.flatnonzero((relaxed.part > _IN_PART) & saves)
    rest = np.flatnonzero((relaxed.part <= _IN_PART) & saves)
    liked = in_part[np.lexsort((relaxed.added[in_part], -relaxed.part[in_part]))]
    other = rest[np.argsort(relaxed.added[rest], kind="stable")]
    picked = seated(selection, start)
    for order in (liked, other):
        while True:
            fits = order[_fitting(selection, picked, by_column)[order]]
            if len(fits) == 0:
                break
            picked = fill(selection, picked, fits, by_column)
    return picked
