"""Weather as told against the limits: no clock, no assumed error. For what was observed."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.weather.grid import PlaceGrid
from crewplan.weather.hour_blocks import hour_blocks, windier
from crewplan.weather.judge import asked_hours, judge
from crewplan.weather.limits import EffectiveLimits
from crewplan.weather.rows import as_told
from crewplan.weather.site_hours import SiteHours, site_hours
from crewplan.weather.sun_hours import sun_hours


def within_limits(
    grid: PlaceGrid,
    limits: EffectiveLimits,
    starts_s: NDArray[np.int64],
    *,
    members: int = 1,
    light: bool = True,
    wind_factor: float = 1.0,
) -> dict[Exposure, SiteHours]:
    """Each hour of each member at the place's own coordinates, by exposure.

    Args:
        grid: rows of one place; their age does not matter.
        limits: what holds.
        starts_s: [H] start of each hour, seconds since 1970-01-01 UTC, distinct.
        members: of the table.
        wind_factor: wind at the site / wind of the rows, 1 or more.
        light: obey limits on light; False leaves them aside.
    """
    asked = asked_hours(starts_s, limits)
    every = np.ones(len(grid.start_s), dtype=np.bool_)
    judged = judge(
        as_told(windier(hour_blocks(grid, members, asked.all_s, every, 0), wind_factor)),
        asked,
        limits,
    )
    sun = sun_hours(grid.latitude, grid.longitude, starts_s)
    lit = sun.light[0] if light else np.ones(len(starts_s), dtype=np.bool_)
    return {
        exposure: site_hours(judged[exposure], lit, sun.frost[0], in_reach=True)
        for exposure in EXPOSURES
    }
