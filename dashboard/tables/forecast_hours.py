"""Wind and gust of all members, hour by hour, as the forecast's table has them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.weather_table import WeatherTable


@dataclass(frozen=True, slots=True)
class Band:
    """Lowest, middle and highest of the members that have a value; m/s."""

    low: float
    middle: float
    high: float
    members: int


@dataclass(frozen=True, slots=True)
class ForecastHour:
    """One hour at one place. None: no member has a value."""

    hour: datetime
    wind: Band | None
    gust: Band | None


def _band(values: NDArray[np.float64]) -> Band | None:
    there = values[~np.isnan(values)]
    if not len(there):
        return None
    return Band(float(there.min()), float(np.median(there)), float(there.max()), len(there))


def forecast_hours(
    weather: WeatherTable, place: str, hours: Sequence[datetime]
) -> tuple[ForecastHour, ...]:
    """The rows of `place` whose interval holds the middle of each hour."""
    names = [known.place for known in weather.places]
    if place not in names:
        return tuple(ForecastHour(hour, None, None) for hour in hours)
    here = weather.place_index == names.index(place)
    ends_s = weather.valid_s + weather.hours * 3600
    found: list[ForecastHour] = []
    for hour in hours:
        middle_s = hour.timestamp() + 1800
        rows = here & (weather.valid_s <= middle_s) & (middle_s < ends_s)
        found.append(
            ForecastHour(hour, _band(weather.wind_mps[rows]), _band(weather.gust_mps[rows]))
        )
    return tuple(found)
