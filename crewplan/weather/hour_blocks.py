"""What a forecast says of each hour: the worst of the intervals that touch it, if they cover it.

An hour is a block of 3,600 s. Intervals may have any length and lie anywhere; a value of an hour
is there only if intervals with that value, fresh enough, cover the hour wholly. What is known of
an hour that is not covered still counts against it, never for it.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from crewplan.model.weather_table import NO_TIME_S
from crewplan.weather.grid import HOUR_S, PlaceGrid

_RAIN_DIGITS = 9
"""Of a sum of rain, mm."""
FIELDS = ("wind", "gust", "rain", "temperature_low", "temperature_high", "humidity", "thunder")
"""Values of an hour: highest of the hour; rain as the sum; temperature both ways."""

_COLUMN = {field: field.split("_")[0] for field in FIELDS}

NEVER_ISSUED_S = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True, eq=False)
class HourBlocks:
    """M members by H hours, in the order of the hours asked for (ascending)."""

    worst: dict[str, NDArray[np.float64]]
    """By field, [M, H]: the worst known value; NaN where none is known."""
    full: dict[str, NDArray[np.bool_]]
    """By field, [M, H]: known and fresh enough for the whole hour."""
    lead_h: NDArray[np.float64]
    """[M, H]: from issue to the interval's start, the longest of the hour; 0 where none."""
    age_h: NDArray[np.float64]
    """[M, H]: since the issue, the oldest used; 0 where none."""
    oldest_s: NDArray[np.int64]
    """[H]: oldest issue of any row that touches the hour, stale ones too, future ones not;
    `NEVER_ISSUED_S` where there is none."""


def windier(blocks: HourBlocks, factor: float) -> HourBlocks:
    """The same hours with mean and gust `factor` times as high (1 or more)."""
    if factor == 1.0:
        return blocks
    higher = {field: blocks.worst[field] * factor for field in ("wind", "gust")}
    return replace(blocks, worst=blocks.worst | higher)


def fresh_rows(grid: PlaceGrid, now_s: float, max_age_s: float) -> NDArray[np.bool_]:
    """[n]: rows whose issue is known, not after now, and not too old."""
    issued = grid.issued_s != NO_TIME_S
    age_s = now_s - np.where(issued, grid.issued_s, now_s)
    young = np.logical_and(age_s >= 0, age_s <= max_age_s)
    return np.asarray(np.logical_and(issued, young), dtype=np.bool_)


def _pairs(
    grid: PlaceGrid, starts_s: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]:
    """Row, hour and seconds in common, of every row and hour that overlap."""
    ends_s = starts_s + HOUR_S
    first = np.searchsorted(ends_s, grid.start_s, side="right")
    past = np.searchsorted(starts_s, grid.end_s, side="left")
    count = np.maximum(past - first, 0)
    row = np.repeat(np.arange(len(count)), count)
    ahead = np.cumsum(count) - count
    hour = np.arange(len(row)) - ahead[row] + first[row]
    common = np.minimum(grid.end_s[row], ends_s[hour]) - np.maximum(
        grid.start_s[row], starts_s[hour]
    )
    return row, hour, common


def hour_blocks(
    grid: PlaceGrid,
    members: int,
    starts_s: NDArray[np.int64],
    fresh: NDArray[np.bool_],
    now_s: float,
) -> HourBlocks:
    """Values of `members` members in the hours that start at `starts_s` (ascending, distinct).

    Args:
        grid: rows of one place; its members count from 0.
        members: at least as many as the grid has; those without rows are missing throughout.
        starts_s: [H] seconds since 1970-01-01 UTC.
        fresh: [n] which rows may be used at all.
        now_s: the clock, in the same seconds, fractions included.
    """
    row, hour, common = _pairs(grid, starts_s)
    shape = (members, len(starts_s))
    issued = grid.issued_s[row]
    seen = (issued != NO_TIME_S) & (issued <= now_s)
    oldest = np.full(len(starts_s), NEVER_ISSUED_S)
    np.minimum.at(oldest, hour[seen], issued[seen])

    used = fresh[row]
    row, hour, common, issued = row[used], hour[used], common[used], issued[used]
    cell = grid.member[row] * len(starts_s) + hour
    dated = issued != NO_TIME_S
    lead_h, age_h = np.zeros(shape), np.zeros(shape)
    np.maximum.at(lead_h.reshape(-1), cell[dated], (grid.start_s[row] - issued)[dated] / HOUR_S)
    np.maximum.at(age_h.reshape(-1), cell[dated], (now_s - issued[dated]) / HOUR_S)
    worst: dict[str, NDArray[np.float64]] = {}
    full: dict[str, NDArray[np.bool_]] = {}
    for field in FIELDS:
        value = grid.fields[_COLUMN[field]][row]
        there = np.isfinite(value)
        value, at = value[there], cell[there]
        covered = np.bincount(at, weights=common[there], minlength=shape[0] * shape[1])
        worst[field] = _reduce(field, at, value, covered > 0).reshape(shape)
        full[field] = (covered == HOUR_S).reshape(shape)
    return HourBlocks(worst, full, lead_h, age_h, oldest)


def _reduce(
    field: str, at: NDArray[np.int64], value: NDArray[np.float64], known: NDArray[np.bool_]
) -> NDArray[np.float64]:
    if field == "rain":
        # rounded to what no gauge tells apart, so that the order of the summands is of no matter
        total = np.bincount(at, weights=value, minlength=len(known)).round(_RAIN_DIGITS)
        return np.where(known, total, np.nan)
    low = field == "temperature_low"
    out = np.full(len(known), np.inf if low else -np.inf)
    (np.minimum if low else np.maximum).at(out, at, value)
    return np.where(known, out, np.nan)
