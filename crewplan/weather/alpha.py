"""A simple check beside the verdict, after marine practice: a forecast well inside the limit.

Weather-restricted operations at sea are planned against alpha x limit, alpha falling with the time
from the forecast's issue, so that one forecast's error does not carry the work over the limit.
Factors as known for 24, 48 and 72 h (DNV marine operations; from memory). It opens nothing.
"""

import numpy as np
from numpy.typing import NDArray

from crewplan.weather.hour_blocks import HourBlocks
from crewplan.weather.judge import Judged
from crewplan.weather.limits import value_of

ALPHA = ((24.0, 0.80), (48.0, 0.75), (72.0, 0.70))
"""Up to so many hours from the issue: the share of the limit that a forecast may reach."""

MEASURES = ("wind", "gust")


def alpha(lead_h: NDArray[np.float64]) -> NDArray[np.float64]:
    """The share by lead time; NaN beyond the last, where the practice gives none."""
    limits, shares = (np.array(column) for column in zip(*ALPHA, strict=True))
    at = np.searchsorted(limits, lead_h, side="left")
    return np.asarray(np.append(shares, np.nan)[at], dtype=np.float64)


def within_alpha(judged: Judged, blocks: HourBlocks, here: NDArray[np.int64]) -> NDArray[np.bool_]:
    """[H]: the mean of the members is within alpha x limit, for mean wind and gust.

    Args:
        judged: limits of one exposure; without any on wind or gust nothing holds.
        blocks: the forecast as told.
        here: [H] into the hours of `blocks`.
    """
    share = alpha(blocks.lead_h[:, here].max(axis=0))
    checks = [one for one in judged.stops if one.limit.measure in MEASURES]
    holds = np.full(len(here), bool(checks))
    for one in checks:
        field = one.limit.measure
        known = blocks.full[field][:, here].all(axis=0)
        told = np.where(known, blocks.worst[field][:, here], np.inf).mean(axis=0)
        holds &= told <= np.nan_to_num(share, nan=-np.inf) * value_of(one.limit)
    return holds
