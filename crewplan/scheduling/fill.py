"""Picking columns one by one, in a given order, as long as no row breaks."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.scheduling.selection import Picked, Selection, entries_of


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
    asked = np.fromiter(order, dtype=np.int64)
    rows, factors, ends = entries_of(matrix, asked)
    # columns have some ten entries each: plain lists are faster than so many short arrays
    row_of, factor = rows.tolist(), factors.tolist()
    room: list[int] = (selection.upper - selection.activity(picked)).tolist()
    filled, begin = picked.copy(), 0
    for column, end in zip(asked.tolist(), ends.tolist(), strict=True):
        held, begin = range(begin, end), end
        if filled[column] or any(0 < factor[i] > room[row_of[i]] for i in held):
            continue
        for i in held:
            room[row_of[i]] -= factor[i]
        filled[column] = True
    return filled


def cheap_order(selection: Selection) -> NDArray[np.intp]:
    """Columns that cost less than leaving their stage out, the greatest saving first."""
    cost = selection.cost
    order: NDArray[np.intp] = np.argsort(cost, kind="stable")
    return order[cost[order] < 0]
