"""What kept forecasts were worth: each against what was observed in the same hours.

By lead time: how much of a departure from the season's mean came (a regression through it), how far
what came lay from the forecast so drawn in, and how far members lay apart.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import tzinfo
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.model.error_rows import ForecastError
from crewplan.model.weather_table import WeatherTable
from crewplan.weather.grid import HOUR_S, PlaceGrid, grids_of
from crewplan.weather.hour_blocks import hour_blocks
from crewplan.weather.monthly import FIELDS, monthly_means

BANDS_H = (24.0, 48.0, 72.0, 120.0, 168.0, 240.0)
"""Lead times up to which errors are learned together."""


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """n hours with a forecast and an observation."""

    lead_h: NDArray[np.float64]
    centre: NDArray[np.float64]
    spread: NDArray[np.float64]
    """Of the members; NaN of one."""
    came: NDArray[np.float64]
    climate: NDArray[np.float64]


def _pairs(forecast: PlaceGrid, past: PlaceGrid, field: str, tz: tzinfo) -> _Pairs | None:
    """Hours that both cover wholly; None: there are none."""
    if not len(forecast.start_s) or not len(past.start_s):
        return None
    first = max(int(forecast.start_s.min()), int(past.start_s.min()))
    last = min(int(forecast.end_s.max()), int(past.end_s.max()))
    starts = np.arange(-(-first // HOUR_S) * HOUR_S, last - HOUR_S + 1, HOUR_S, dtype=np.int64)
    if not len(starts):
        return None
    members = int(forecast.member.max()) + 1
    every = [np.ones(len(grid.start_s), dtype=np.bool_) for grid in (forecast, past)]
    told = hour_blocks(forecast, members, starts, every[0], 0.0)
    came = hour_blocks(past, 1, starts, every[1], 0.0)
    both = told.full[field].all(axis=0) & came.full[field][0]
    value = told.worst[field][:, both]
    spread = value.std(axis=0, ddof=1) if members > 1 else np.full(value.shape[1], np.nan)
    climate = monthly_means(past, tz, starts[both])[field]
    lead_h = told.lead_h.max(axis=0)[both]
    return _Pairs(lead_h, value.mean(axis=0), spread, came.worst[field][0, both], climate)


def _joined(pairs: list[_Pairs]) -> _Pairs:
    return _Pairs(
        *(
            np.concatenate([getattr(one, name) for one in pairs])
            for name in ("lead_h", "centre", "spread", "came", "climate")
        )
    )


def _slope(away: NDArray[np.float64], went: NDArray[np.float64]) -> float:
    """Of the line through the origin, from 0 to 1; 1 where there is nothing to learn from."""
    square = float(np.sum(away**2))
    return min(1.0, max(0.0, float(np.sum(away * went)) / square)) if square > 0 else 1.0


def _row(
    field: Literal["wind", "gust"], band_h: float, pairs: _Pairs, at: NDArray[np.bool_]
) -> ForecastError:
    centre, came, climate = pairs.centre[at], pairs.came[at], pairs.climate[at]
    seasonal = np.isfinite(climate)
    base = np.where(seasonal, climate, 0.0)
    away, went = (centre - base)[seasonal], (came - base)[seasonal]
    skill = _slope(away, went)
    drawn = np.where(seasonal, base + skill * (centre - base), centre)
    sd = float(np.sqrt(np.mean((came - drawn) ** 2)))
    known = pairs.spread[at][np.isfinite(pairs.spread[at])]
    spread = float(known.mean()) if len(known) else 0.0
    return ForecastError(
        field,
        band_h,
        round(skill, 3),
        round(sd, 3),
        round(spread, 3),
        int(at.sum()),
        "kept forecasts against weather_past",
    )


def learn_errors(
    kept: Iterable[WeatherTable], past: WeatherTable, tz: tzinfo
) -> tuple[ForecastError, ...]:
    """A row for each measure and band of lead time that any kept forecast has hours of.

    Args:
        kept: forecasts as they were, each with its members.
        past: what was observed; a forecast's place is looked for by its name.
        tz: the branch's time zone.
    """
    observed = {grid.place: grid for grid in grids_of(past)}
    by_field: dict[Literal["wind", "gust"], list[_Pairs]] = {field: [] for field in FIELDS}
    for table in kept:
        for grid in grids_of(table):
            if grid.place not in observed:
                continue
            for field in FIELDS:
                pairs = _pairs(grid, observed[grid.place], field, tz)
                if pairs is not None:
                    by_field[field].append(pairs)
    rows = []
    for field, found in by_field.items():
        if not found:
            continue
        pairs = _joined(found)
        lower_h = -np.inf
        for band_h in BANDS_H:
            at = (pairs.lead_h > lower_h) & (pairs.lead_h <= band_h)
            if at.any():
                rows.append(_row(field, band_h, pairs, at))
            lower_h = band_h
    return tuple(rows)
