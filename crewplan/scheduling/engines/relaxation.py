"""What the problem would cost if columns could be picked in part, and which that rules out."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from crewplan.scheduling.selection import NO_LOWER, Picked, Selection


@dataclass(frozen=True, slots=True, eq=False)
class Relaxation:
    """A proven bound, and what each column adds to it at least if it is picked."""

    bound: float
    """No choice costs less."""
    added: NDArray[np.float64]
    """Shape n; any choice with this column costs at least `bound` + its entry (where above 0)."""
    part: NDArray[np.float64]
    """Shape n: how much of each column the relaxed choice takes, 0 to 1."""


def relaxation(
    selection: Selection, row_price: NDArray[np.float64], part: NDArray[np.float64]
) -> Relaxation:
    """The bound that prices of rows prove, worked out here and not taken from a solver.

    With prices y for rows, every choice costs at least constant + y x (end of the row that y
    presses against) + the sum of what is negative in cost - y x matrix (Lagrange). True for any y,
    so that a solver's tolerances cannot make it false.
    """
    price = np.where((row_price > 0) & (selection.lower == NO_LOWER), 0.0, row_price)
    end = np.where(price > 0, selection.lower, selection.upper).astype(np.float64)
    added = selection.cost - selection.matrix.T @ price
    bound = selection.constant + float(price @ end) + float(np.minimum(added, 0.0).sum())
    return Relaxation(bound, np.asarray(added, dtype=np.float64), part)


def narrowed(selection: Selection, kept: Picked) -> Selection:
    """The problem with some of the columns only; all rows stay."""
    places = None if selection.places is None else selection.places.some(kept)
    return replace(
        selection, cost=selection.cost[kept], matrix=selection.matrix[:, kept], places=places
    )


def widened(kept: Picked, picked: Picked) -> Picked:
    """A choice of the narrowed problem as one of the whole."""
    whole = np.zeros(len(kept), dtype=np.bool_)
    whole[np.flatnonzero(kept)[picked]] = True
    return whole
