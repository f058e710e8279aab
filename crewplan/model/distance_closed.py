"""How far a way to decide goes from a rule of thumb to knowing the weather."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from crewplan.model.bootstrap import drawn, middle_90


@dataclass(frozen=True, slots=True)
class Closed:
    """A share of the distance; above 1: past the one who knew the weather."""

    share: float
    low: float
    high: float
    """90 % interval over cases; of a single case nothing is known."""
    cases: int


def closed(
    thumb: Sequence[float], ours: Sequence[float], knowing: Sequence[float]
) -> Closed | None:
    """Share of the distance over all cases together; None where there is no distance to go.

    Args:
        thumb: of the rule of thumb, case by case; the less the better.
        ours: of the same cases.
        knowing: of the same cases.

    The interval is that of `bootstrap`, of whole cases; draws without a distance are left out.
    """
    of = np.array([thumb, ours, knowing], dtype=np.float64)
    distance, gone = of[0] - of[2], of[0] - of[1]
    if distance.sum() <= 0:
        return None
    cases = of.shape[1]
    draws = drawn(cases)
    below, above = distance[draws].sum(axis=1), gone[draws].sum(axis=1)
    some = below > 0
    low, high = middle_90(above[some] / below[some])
    return Closed(float(gone.sum() / distance.sum()), low, high, cases)
