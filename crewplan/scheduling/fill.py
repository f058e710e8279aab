"""Picking columns one by one, in a given order, as long as no row breaks."""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.scheduling.selection import Picked, Selection, entries_of

_AT_ONCE = 8192
"""So many columns are looked at before those are sorted out again that cannot fit any more."""

_FEW = 100
"""Columns that are looked at sooner than sorted."""

_ANY = 2**53
"""Room for whatever a column takes."""


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
    asked = np.array(order if isinstance(order, np.ndarray) else list(order), dtype=np.int64)
    room: list[int] = (selection.upper - selection.activity(picked)).tolist()
    filled = picked.copy()
    if len(asked) <= _FEW:
        _fill_some(matrix, asked, room, filled)
        return filled
    may_grow = np.zeros(len(room), dtype=np.bool_)
    may_grow[matrix.indices[matrix.data < 0]] = True
    for begin in range(0, len(asked), _AT_ONCE):
        some = asked[begin : begin + _AT_ONCE]
        _fill_some(matrix, some[_may_fit(matrix, some, room, may_grow)], room, filled)
    return filled


def _may_fit(
    matrix: sparse.csc_array, columns: NDArray[np.int64], room: list[int], may_grow: Picked
) -> Picked:
    """Columns that are not kept out for good, by a row in which nothing makes room again."""
    rows, factors, ends = entries_of(matrix, columns)
    left = np.where(may_grow, _ANY, np.maximum(room, 0))
    out = np.concatenate([[0], np.cumsum(factors > left[rows])])
    may: Picked = out[ends] == out[np.concatenate([[0], ends[:-1]])]
    return may


def _fill_some(
    matrix: sparse.csc_array, columns: NDArray[np.int64], room: list[int], filled: Picked
) -> None:
    """Pick what fits, in turn, and take from `room` what it uses."""
    rows, factors, ends = entries_of(matrix, columns)
    # columns have some ten entries each: plain lists are faster than so many short arrays
    row_of, factor = rows.tolist(), factors.tolist()
    begin = 0
    for column, end in zip(columns.tolist(), ends.tolist(), strict=True):
        held, begin = range(begin, end), end
        for i in held:
            if 0 < factor[i] > room[row_of[i]]:
                break
        else:
            if not filled[column]:
                for i in held:
                    room[row_of[i]] -= factor[i]
                filled[column] = True


def cheap_order(selection: Selection) -> NDArray[np.intp]:
    """Columns that cost less than leaving their stage out, the greatest saving first."""
    cost = selection.cost
    order: NDArray[np.intp] = np.argsort(cost, kind="stable")
    return order[cost[order] < 0]
