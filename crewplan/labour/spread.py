"""How the spreads of steps combine, and the hours that nine of ten stages stay within."""

import math
from collections.abc import Iterable
from dataclasses import dataclass

STEPS_CORRELATION = 0.5
"""Between the hours of two steps of one stage: same crew, same roof. Assumed; 0 would mean that
steps make up for each other, 1 that they all go wrong together."""
Z80, Z90 = 0.8416212335729143, 1.2815515655446004
"""Standard normal quantiles."""


@dataclass(frozen=True, slots=True)
class Quantiles:
    """Person-hours of a whole, log-normal with the median at the sum of its steps' medians."""

    p50_h: float
    p80_h: float
    p90_h: float
    spread: float
    """Standard deviation / mean."""


def combine(steps: Iterable[tuple[float, float]]) -> Quantiles:
    """Combine (p50_h, spread) of steps.

    Each step is log-normal, its table hours the median; the sum is taken as log-normal with the
    moments' spread (Fenton and Wilkinson's matching), and its median is kept at the sum of the
    table's hours, so that planned hours add up.
    """
    p50_h = mean_h = sd_sum = variance_sum = 0.0
    for median_h, spread in steps:
        mean = median_h * math.sqrt(1 + spread**2)
        sd = spread * mean
        p50_h += median_h
        mean_h += mean
        sd_sum += sd
        variance_sum += sd**2
    if p50_h <= 0:
        return Quantiles(0.0, 0.0, 0.0, 0.0)
    variance = (1 - STEPS_CORRELATION) * variance_sum + STEPS_CORRELATION * sd_sum**2
    spread = math.sqrt(variance) / mean_h
    sigma = math.sqrt(math.log1p(spread**2))
    return Quantiles(p50_h, p50_h * math.exp(Z80 * sigma), p50_h * math.exp(Z90 * sigma), spread)
