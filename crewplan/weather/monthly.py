"""Climatology: the mean of past weather by month and hour of the day."""

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, tzinfo
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.weather.grid import PlaceGrid

FIELDS: tuple[Literal["wind", "gust"], ...] = ("wind", "gust")
LEAST_HOURS = 60
"""Of a month and hour of the day, the hour before and after it included: twenty days of one year.
Assumed."""


def _slots(times_s: Sequence[int], tz: tzinfo) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    local = [datetime.fromtimestamp(int(at), UTC).astimezone(tz) for at in times_s]
    month = np.array([at.month - 1 for at in local], dtype=np.int64)
    return month, np.array([at.hour for at in local], dtype=np.int64)


def monthly_means(
    past: PlaceGrid, tz: tzinfo, starts_s: NDArray[np.int64]
) -> Mapping[str, NDArray[np.float64]]:
    """By field, [H]: the mean of its month and of the hours around it; NaN where few are known.

    Args:
        past: observed weather of one place.
        tz: the branch's time zone.
        starts_s: [H] start of each hour, seconds since 1970-01-01 UTC.
    """
    month, hour = _slots(past.start_s.tolist(), tz)
    asked_month, asked_hour = _slots(starts_s.tolist(), tz)
    means: dict[str, NDArray[np.float64]] = {}
    for field in FIELDS:
        value = past.fields[field]
        there = np.isfinite(value)
        total, count = np.zeros((12, 24)), np.zeros((12, 24))
        np.add.at(total, (month[there], hour[there]), value[there])
        np.add.at(count, (month[there], hour[there]), 1.0)
        around = [sum(np.roll(held, by, axis=1) for by in (-1, 0, 1)) for held in (total, count)]
        with np.errstate(divide="ignore", invalid="ignore"):
            mean = np.where(around[1] >= LEAST_HOURS, around[0] / around[1], np.nan)
        means[field] = mean[asked_month, asked_hour]
    return means
