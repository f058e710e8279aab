"""What a placement costs in the worst tenth of weathers (CVaR over members)."""

import numpy as np

from crewplan.placing.walk import Floats, Ints

WORST_SHARE = 0.1
_DUST = 1e-12


def mean_of_worst(loss: Floats, weight: Ints, share: float = WORST_SHARE) -> float:
    """Mean loss over the worst `share` of members, the last of them in part.

    Args:
        loss: one entry for each row of members.
        weight: members in each row.
        share: above 0, at most 1.

    Source: Rockafellar and Uryasev, Optimization of conditional value-at-risk, 2000.
    """
    order = np.argsort(-loss, kind="stable")
    left = share * float(weight.sum())
    taken = np.diff(np.minimum(np.cumsum(weight[order]), left), prepend=0.0)
    return float(taken @ loss[order]) / left


def above_mean(loss: Floats, weight: Ints) -> float:
    """How much more the worst tenth costs than the mean over all; never below 0."""
    more = mean_of_worst(loss, weight) - float(weight @ loss) / float(weight.sum())
    return more if more > _DUST else 0.0
