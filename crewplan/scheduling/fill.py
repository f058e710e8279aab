"""Picking columns one by one, in a given order, as long as no row breaks."""

from collections.abc import Iterable

import numpy as np
from scipy import sparse

from crewplan.scheduling.selection import Picked, Selection


def fill(selection: Selection, picked: Picked, order: Iterable[int]) -> Picked:
    """`picked` and each column of `order`, in turn, that still fits.

    `picked` must keep to all upper ends; lower ends are not looked at.
    """
    by_column = sparse.csc_array(selection.matrix)
    starts, row_of, factor = by_column.indptr, by_column.indices, by_column.data
    room = selection.upper - selection.activity(picked)
    filled = picked.copy()
    for column in order:
        if filled[column]:
            continue
        held = slice(starts[column], starts[column + 1])
        touched = row_of[held]
        if np.all(factor[held] <= np.maximum(room[touched], 0)):
            room[touched] -= factor[held]
            filled[column] = True
    return filled
