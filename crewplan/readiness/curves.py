"""Kaplan-Meier curves of lead times, also of those still waiting and of those refused."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """Share of requests not granted after so many days: 1 before `days[0]`, flat past the last.

    Nothing is said beyond the data: where the longest waits are not over, the curve stays above 0.
    """

    days: Floats
    """Ascending, each once."""
    still_waiting: Floats
    requests: float
    """How much evidence it is: requests, fewer where recent ones weigh more (Kish's number)."""
    seen_to: float = 0.0
    """The longest wait of the record, over or not: it says nothing about longer ones."""
    never: float = 0.0
    """Share that was refused, and so is never granted."""

    def at(self, days: NDArray[np.float64]) -> NDArray[np.float64]:
        """Share still waiting once those days have passed; any shape."""
        steps = np.concatenate(([1.0], self.still_waiting))
        return steps[np.searchsorted(self.days, days, side="right")]


def kaplan_meier(
    waited_days: NDArray[np.float64] | list[int],
    over: NDArray[np.bool_] | list[bool],
    weights: Floats | None = None,
    never: Bools | None = None,
) -> Curve:
    """Curve of waits in days.

    Args:
        waited_days: of each request.
        over: granted after them; else still waiting (censored on the right), or refused.
        weights: how much each request counts; None: all alike.
        never: refused, so that it waits on for ever; None: no request.
    """
    waits, ended = np.asarray(waited_days, dtype=np.float64), np.asarray(over, dtype=np.bool_)
    counts = np.ones(len(waits)) if weights is None else weights
    refused = np.zeros(len(waits), dtype=np.bool_) if never is None else never
    evidence = float(counts.sum() ** 2 / (counts**2).sum()) if len(waits) else 0.0
    share = float(counts[refused].sum() / counts.sum()) if len(waits) else 0.0
    # one step past all others: at risk at each of them, as a refused request is
    long = np.where(refused, waits.max(initial=0.0) + 1.0, waits)
    seen_to = float(waits[~refused].max(initial=0.0))
    if not ended.any():
        return Curve(np.empty(0), np.empty(0), evidence, seen_to, share)
    if weights is None:
        from scipy import stats  # heavy, and only needed where a branch keeps lead times

        data = stats.CensoredData(uncensored=long[ended], right=long[~ended])
        survival = stats.ecdf(data).sf
        days, left = np.asarray(survival.quantiles), np.asarray(survival.probabilities)
    else:
        days, left = _weighted(long, ended, counts)
    return Curve(days, left, evidence, seen_to, share)


def _weighted(waits: Floats, ended: Bools, counts: Floats) -> tuple[Floats, Floats]:
    """The product-limit curve where each request counts as much as its weight."""
    days, where = np.unique(waits, return_inverse=True)
    leaving = np.bincount(where, counts, len(days))
    granted = np.bincount(where, counts * ended, len(days))
    at_risk = np.cumsum(leaving[::-1])[::-1]
    left = np.cumprod(np.clip(1.0 - granted / at_risk, 0.0, 1.0), dtype=np.float64)
    return days, left
