"""The forecast of every place for the hours asked for, judged once and shared by all its sites."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.weather.calibration import Record
from crewplan.weather.grid import PlaceGrid, denominator, nearest, past_of, place_grids
from crewplan.weather.hour_blocks import HourBlocks, fresh_rows, hour_blocks, windier
from crewplan.weather.judge import Asked, Judged, asked_hours, judge
from crewplan.weather.learned_error import Learned, learned_errors
from crewplan.weather.limits import EffectiveLimits, effective_limits
from crewplan.weather.monthly import monthly_means
from crewplan.weather.rows import counted_rows
from crewplan.weather.site import Spot, factor_of
from crewplan.weather.sun_hours import SunHours, sun_hours

Purpose = Literal["gate", "planning"]

PLANNING_MAX_AGE_H = 48.0
"""Older forecasts than this are not planned with either."""


@dataclass(frozen=True, slots=True, eq=False)
class PlaceForecast:
    """One place, judged for each exposure."""

    grid: PlaceGrid
    blocks: HourBlocks
    judged: dict[Exposure, Judged]
    wind_factor: float = 1.0
    record: bool = False
    """The branch's own record of errors is in it."""


@dataclass(frozen=True, slots=True, eq=False)
class Forecast:
    """S sites, the places that they use, and H hours."""

    asked: Asked
    limits: EffectiveLimits
    places: tuple[PlaceForecast, ...]
    """Those that some site uses, once for each wind factor of its sites; one without any row
    stands for sites that no place is near."""
    place_of: NDArray[np.int64]
    """[S] into `places`."""
    distance_km: NDArray[np.float64]
    """[S]; infinite where there is no place."""
    sun: SunHours

    def in_reach(self, site: int, exposure: Exposure, reach_km: float) -> bool:
        """Whether the place counts for a site: for ground the nearest always does."""
        km = float(self.distance_km[site])
        return math.isfinite(km) and (exposure == "ground" or km <= reach_km)


def epoch_s(hour_start: datetime) -> int:
    """Whole seconds since 1970-01-01 UTC."""
    return int(hour_start.timestamp())


def _no_rows() -> PlaceGrid:
    none, nothing = np.empty(0, dtype=np.int64), np.empty(0)
    names = ("wind", "gust", "rain", "temperature", "humidity", "thunder")
    return PlaceGrid("", np.nan, np.nan, none, none, none, none, dict.fromkeys(names, nothing))


def _record(
    branch: Branch,
    errors: Mapping[str, Learned],
    grid: PlaceGrid,
    factor: float,
    hours_s: NDArray[np.int64],
) -> Record:
    """What the branch's record says of a place's forecast; the past is as windy as the site."""
    past = past_of(branch, grid) if errors else None
    if past is None:
        return Record(errors)
    means = monthly_means(past, zone(branch.settings), hours_s)
    return Record(errors, {field: mean * factor for field, mean in means.items()})


def forecast(
    branch: Branch,
    starts_s: NDArray[np.int64],
    now: datetime,
    sites: Sequence[Spot],
    *,
    purpose: Purpose,
    exposures: tuple[Exposure, ...] = EXPOSURES,
) -> Forecast:
    """Judges each place once and finds each site's place and sun.

    Args:
        branch: its forecast, limits and settings.
        starts_s: [H] start of each hour, seconds since 1970-01-01 UTC, distinct.
        now: the clock.
        sites: where.
        purpose: the gate takes no forecast older than `weather_max_age_h`; planning takes them
            up to `PLANNING_MAX_AGE_H`, with wider error.
        exposures: which to judge.
    """
    limits = effective_limits(branch.package_limits, branch.limits)
    asked = asked_hours(starts_s, limits)
    gate_age_h = branch.settings.weather_max_age_h
    max_age_h = gate_age_h if purpose == "gate" else max(gate_age_h, PLANNING_MAX_AGE_H)
    now_s, members = now.timestamp(), denominator(branch)
    errors = learned_errors(branch.forecast_errors)

    def judged_place(grid: PlaceGrid, factor: float) -> PlaceForecast:
        fresh = fresh_rows(grid, now_s, max_age_h * 3600)
        blocks = windier(hour_blocks(grid, members, asked.all_s, fresh, now_s), factor)
        # the verdict takes the lower share of members as told and with error; planning the likelier
        helping = purpose == "planning"
        record = _record(branch, errors, grid, factor, asked.all_s)
        rows = counted_rows(blocks, asked.all_s, gate_age_h, helping=helping, record=record)
        return PlaceForecast(
            grid, blocks, judge(rows, asked, limits, exposures), factor, bool(errors)
        )

    grids = place_grids(branch)
    latitude = np.array([site[0] for site in sites], dtype=np.float64)
    longitude = np.array([site[1] for site in sites], dtype=np.float64)
    index, km = nearest(grids, latitude, longitude)
    factors = np.array([factor_of(site) for site in sites], dtype=np.float64)
    used, place_of = np.unique(np.stack((index, factors)), axis=1, return_inverse=True)
    return Forecast(
        asked,
        limits,
        tuple(
            judged_place(grids[int(at)] if at >= 0 else _no_rows(), float(factor))
            for at, factor in used.T
        ),
        place_of.reshape(-1),
        km,
        sun_hours(latitude, longitude, starts_s),
    )
