"""Picking columns one by one, in a given order, as long as no row breaks."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.scheduling.selection import Picked, Selection


def fill(
    selection: Selection,
    picked: Picked,
    order: Iterable[int],
    by_column: sparse.csc_array | None = None,
) -> Picked:
    """`picked` and each column of `order`, in turn, that still fits.

    `picked` must keep to all upper ends; lower ends are not looked at. `by_column` is the matrix
    by columns, for who fills more than once.
    """
    matrix = sparse.csc_array(selection.matrix) if by_column is None else by_column
    starts, row_of, factor = matrix.indptr, matrix.indices, matrix.data
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


def cheap_order(selection: Selection) -> NDArray[np.intp]:
    """Columns that cost less than leaving their stage out, the greatest saving first."""
    cost = selection.cost
    order: NDArray[np.intp] = np.argsort(cost, kind="stable")
    return order[cost[order] < 0]
