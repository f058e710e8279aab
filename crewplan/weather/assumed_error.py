"""The error assumed around forecasts that have too few members to show their own.

Draws are quantiles of the normal distribution, one set for every member and value, fixed for each
hour of the calendar. So a higher value never gives more good draws, in no hour and no run of
hours; nor does an older forecast, for only the harmful side of the error grows with lead time;
nor does taking a member away, for members share the draws.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

FEW = 10
"""A denominator under this has error put around its members."""

LEAST_DRAWS = 99
"""Of all members together; each gets at least `LEAST_DRAWS_EACH`."""
LEAST_DRAWS_EACH = 25

HOURS_KEPT = 512
"""Draws repeat after so many hours: longer than any plan, so no run of hours meets itself."""

COMMON_SHARE = 0.7
"""Share of the error's variance that all hours of a forecast have in common. Assumed."""

_SEED = 3
_LONGEST_LEAD_DAYS = 7.0
"""Beyond it the error grows no further. Assumed: it has reached that of the season's mean."""


@dataclass(frozen=True, slots=True)
class ErrorSize:
    """Standard deviation of a forecast's error, in the field's unit."""

    group: str
    """Fields of one group err together."""
    at_once: float
    """At lead time 0."""
    a_day: float
    """More for each day of lead time, on the harmful side."""
    share: float
    """More for each unit of the value itself; small enough that draws keep the values' order."""
    source: str


SIZES: dict[str, ErrorSize] = {
    "wind": ErrorSize("wind", 1.1, 0.25, 0.0, "assumed: two thirds of the gust's"),
    "gust": ErrorSize(
        "wind", 1.6, 0.35, 0.0, "day 0: 1.5 to 1.7 m/s at best, second-hand copy; growth assumed"
    ),
    "rain": ErrorSize("rain", 0.08, 0.02, 0.3, "assumed"),
    "temperature_low": ErrorSize("temperature", 1.5, 0.3, 0.0, "assumed"),
    "temperature_high": ErrorSize("temperature", 1.5, 0.3, 0.0, "assumed"),
    "humidity": ErrorSize("humidity", 8.0, 1.0, 0.0, "assumed"),
}
"""By field of an hour; thunder has none: it is taken as told."""

_GROUPS = ("wind", "rain", "temperature", "humidity")


def draws_each(members: int) -> int:
    """How many draws each of a few members gets."""
    return max(LEAST_DRAWS_EACH, -(-LEAST_DRAWS // members))


def normal_draws(draws: int, hours_s: NDArray[np.int64]) -> dict[str, NDArray[np.float64]]:
    """By group of fields, [draws, H]: each hour holds the same normal quantiles, reordered.

    Hours of one draw are alike to the degree of `COMMON_SHARE`. An hour's draws hang on the hour
    alone, never on which others are asked for.

    Args:
        draws: how many.
        hours_s: [H] start of each hour, seconds since 1970-01-01 UTC.
    """
    rng = np.random.default_rng(_SEED)
    quantiles = ndtri((np.arange(draws) + 0.5) / draws)
    slot = (hours_s // 3600) % HOURS_KEPT
    ordered: dict[str, NDArray[np.float64]] = {}
    for group in _GROUPS:
        common = rng.permutation(quantiles)[:, None]
        own = rng.permuted(np.tile(quantiles[:, None], HOURS_KEPT), axis=0)[:, slot]
        mixed = np.sqrt(COMMON_SHARE) * common + np.sqrt(1 - COMMON_SHARE) * own
        ordered[group] = quantiles[np.argsort(np.argsort(mixed, axis=0), axis=0)]
    return ordered


def _harm(
    size: ErrorSize, z: NDArray[np.float64], days: NDArray[np.float64], at_once: float
) -> NDArray[np.float64]:
    grown = size.a_day * np.clip(days, 0.0, _LONGEST_LEAD_DAYS)
    return z * (at_once + np.where(z > 0, grown, 0.0))


def with_error(
    field: str,
    value: NDArray[np.float64],
    z: NDArray[np.float64],
    lead_h: NDArray[np.float64],
    *,
    whole: bool,
) -> NDArray[np.float64]:
    """A value with its error: harmful where z is above 0, clipped at what can be.

    Args:
        field: one of `SIZES`.
        value: in the field's unit; NaN stays NaN.
        z: standard normal, broadcast against `value`.
        lead_h: lead time in hours, broadcast against `value`.
        whole: the whole error; else only what grows with the time, for members of an ensemble
            that show the rest themselves.
    """
    size = SIZES[field]
    error = _harm(size, z, lead_h / 24.0, size.at_once if whole else 0.0)
    if field == "temperature_low":
        return value - error
    if size.group == "temperature":
        return value + error
    scaled = value * (1.0 + size.share * z) if whole else value
    most = 100.0 if field == "humidity" else np.inf
    return np.clip(scaled + error, 0.0, most)
