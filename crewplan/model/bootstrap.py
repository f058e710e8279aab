"""How far a mean, or another figure of few values, may be off.

Source: Efron and Tibshirani, 'An Introduction to the Bootstrap', 1993, the percentile method.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

_DRAWS = 2000


def drawn(cases: int) -> NDArray[np.int64]:
    """[draws, cases] of so many cases with replacement, by a fixed seed."""
    return np.random.default_rng(1).integers(cases, size=(_DRAWS, cases))


def middle_90(found: NDArray[np.float64]) -> tuple[float, float]:
    """The 90 % interval of what was found in each draw."""
    low, high = np.quantile(found, (0.05, 0.95))
    return float(low), float(high)


def interval(values: Sequence[float]) -> tuple[float, float]:
    """90 % interval of their mean."""
    return middle_90(np.array(values)[drawn(len(values))].mean(axis=1))
