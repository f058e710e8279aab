"""Past days of observed weather, judged at given clock hours against today's limits."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, tzinfo

import numpy as np
from numpy.typing import NDArray

from crewplan.model.work_rows import EXPOSURES
from crewplan.weather.grid import PlaceGrid
from crewplan.weather.limits import EffectiveLimits
from crewplan.weather.within_limits import within_limits

SEASON_DAYS = 15
"""Past days count that lie so near in the year, before or after. Assumed."""

_DAY_S = 86_400


@dataclass(frozen=True, slots=True, eq=False)
class PastDay:
    """One local day at T clock hours, by exposure; light left aside."""

    good: NDArray[np.bool_]
    """[3, T]: known and within limits."""
    known: NDArray[np.bool_]
    """[T]: known for every exposure."""


def in_season(past: Sequence[date], days: Sequence[date]) -> NDArray[np.bool_]:
    """[past, days] whether a past date lies so near in the year, the shorter way round."""
    then, now = (
        np.array([one.timetuple().tm_yday for one in dates], dtype=np.int64)
        for dates in (past, days)
    )
    apart = np.abs(then[:, None] - now)
    near: NDArray[np.bool_] = np.minimum(apart, 365 - np.minimum(apart, 365)) <= SEASON_DAYS
    return near


def _dates(past: PlaceGrid, tz: tzinfo, near: Collection[date]) -> list[date]:
    touched = {
        datetime.fromtimestamp(int(day) * _DAY_S + shift, UTC).astimezone(tz).date()
        for day in np.unique(past.start_s // _DAY_S)
        for shift in (0, _DAY_S - 1)
    }
    dates = sorted(touched)
    return [dates[at] for at in np.flatnonzero(in_season(dates, list(near)).any(axis=1))]


def past_days(
    past: PlaceGrid,
    limits: EffectiveLimits,
    tz: tzinfo,
    near: Collection[date],
    clock: Sequence[time],
    wind_factor: float = 1.0,
) -> dict[date, PastDay]:
    """Local days of the record within `SEASON_DAYS` of the year of any day in `near`.

    Args:
        past: observed weather of one place; one member.
        limits: what holds now.
        tz: the branch's time zone.
        near: local days that the past days shall resemble.
        clock: T local clock hours.
        wind_factor: wind at the site / wind of the record.
    """
    dates = _dates(past, tz, near)
    starts = [int(datetime.combine(day, hour, tz).timestamp()) for day in dates for hour in clock]
    distinct, where = np.unique(np.array(starts, dtype=np.int64), return_inverse=True)
    told = within_limits(past, limits, distinct, light=False, wind_factor=wind_factor)
    at = where.reshape(len(dates), len(clock))
    good = np.stack([told[exposure].good[0] for exposure in EXPOSURES])
    known = np.logical_and.reduce([told[exposure].known for exposure in EXPOSURES])
    return {day: PastDay(good[:, at[row]], known[at[row]]) for row, day in enumerate(dates)}
