"""The one problem that every engine solves: pick columns, keep to rows, pay the least."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.scheduling.grouping import runs

NO_LOWER = -(2**53)
"""Stands for a row without a lower end; far below any sum of factors."""

NOWHERE = -1
"""Stands for a column that is of no stage: it comes with those that need it."""

Picked = NDArray[np.bool_]
"""One entry a column: whether it is picked."""


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """lower <= sum of factor x picked <= upper; all whole numbers.

    `rule` and `subject` say which rule it stands for and about what, for the reasons.
    """

    columns: NDArray[np.int64]
    factors: NDArray[np.int64]
    upper: int
    lower: int = NO_LOWER
    rule: str = ""
    subject: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Where columns stand, each array of shape n: what a search by neighbourhoods goes by."""

    stage: NDArray[np.int64]
    """By index; the columns of one stage exclude each other. NOWHERE: of no stage."""
    crew: NDArray[np.int64]
    """By index."""
    first: NDArray[np.int64]
    """Half-day."""
    last: NDArray[np.int64]
    """Half-day."""

    def some(self, kept: Picked | NDArray[np.intp]) -> "Places":
        """Of some of the columns, by a mask or by index."""
        return Places(self.stage[kept], self.crew[kept], self.first[kept], self.last[kept])


@dataclass(frozen=True, slots=True, eq=False)
class Selection:
    """n columns with a cost each and m rows over them, as sparse arrays of whole numbers."""

    cost: NDArray[np.int64]
    """Shape n."""
    constant: int
    """Paid in any case."""
    matrix: sparse.csr_array
    """Shape m x n."""
    lower: NDArray[np.int64]
    """Shape m."""
    upper: NDArray[np.int64]
    """Shape m."""
    places: Places | None = None
    """None: nothing is known but the rows."""
    always: int = 0
    """So many of the last columns belong to every part of the problem that is solved by itself."""

    def price(self, picked: Picked) -> int:
        """What a choice costs, exact."""
        return self.constant + int(self.cost[picked].sum())

    def activity(self, picked: Picked) -> NDArray[np.int64]:
        """Sum of each row."""
        total: NDArray[np.int64] = self.matrix @ picked.astype(np.int64)
        return total

    def holds(self, picked: Picked) -> bool:
        """Whether every row is kept to."""
        total = self.activity(picked)
        return bool(np.all(total <= self.upper) and np.all(total >= self.lower))


def assemble(
    cost: NDArray[np.int64],
    rows: Sequence[Row],
    constant: int = 0,
    places: Places | None = None,
) -> Selection:
    """A selection from its rows, in their order."""
    lengths = np.array([len(row.columns) for row in rows], dtype=np.int64)
    empty = np.zeros(0, dtype=np.int64)
    matrix = sparse.csr_array(
        (
            np.concatenate([empty, *(row.factors for row in rows)]),
            np.concatenate([empty, *(row.columns for row in rows)]),
            np.concatenate([[0], np.cumsum(lengths)]),
        ),
        shape=(len(rows), len(cost)),
        dtype=np.int64,
    )
    return Selection(
        cost,
        constant,
        matrix,
        np.array([row.lower for row in rows], dtype=np.int64),
        np.array([row.upper for row in rows], dtype=np.int64),
        places,
    )


def entries_of(
    by_column: sparse.csc_array, columns: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Rows and factors of some columns, one column after another, and where each of them ends."""
    begins = by_column.indptr[columns].astype(np.int64)
    lengths = by_column.indptr[columns + 1] - begins
    at = runs(begins, lengths)
    return by_column.indices[at], by_column.data[at], np.cumsum(lengths)
