"""How far a mean of few values may be off."""

from collections.abc import Sequence

import numpy as np

_DRAWS = 2000


def interval(values: Sequence[float]) -> tuple[float, float]:
    """90 % interval of their mean: draws with replacement, by a fixed seed.

    Source: Efron and Tibshirani, 'An Introduction to the Bootstrap', 1993, the percentile method.
    """
    drawn = np.random.default_rng(1).choice(np.array(values), (_DRAWS, len(values))).mean(axis=1)
    low, high = np.quantile(drawn, (0.05, 0.95))
    return float(low), float(high)
