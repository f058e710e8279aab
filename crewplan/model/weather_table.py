"""Forecast and past weather as columns, one entry a row of the table."""

from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

import numpy as np
from annotated_types import Ge, Gt, Le, doc
from numpy.typing import NDArray

NO_TIME_S = np.iinfo(np.int64).min
"""Stands for a missing time in the integer columns."""

VALUE_COLUMNS = ("wind_mps", "gust_mps", "rain_mm", "temperature_c", "humidity_pct", "thunder")


@dataclass(frozen=True, slots=True)
class WeatherRow:
    """One interval of one member at one place. Describes the table; rows are kept as columns."""

    valid_at: Annotated[datetime, doc("start of the interval, with its UTC offset")]
    member: Annotated[str, doc("member of the ensemble; past weather: empty")] = ""
    issued_at: Annotated[datetime | None, doc("when the forecast was made; empty: unknown")] = None
    hours: Annotated[float, Gt(0), Le(48), doc("length of the interval")] = 1.0
    wind_mps: Annotated[float | None, Ge(0), doc("mean wind at 10 m")] = None
    gust_mps: Annotated[float | None, Ge(0), doc("highest gust at 10 m")] = None
    rain_mm: Annotated[float | None, Ge(0), doc("rain in the whole interval")] = None
    temperature_c: Annotated[float | None, doc("of the air at 2 m")] = None
    humidity_pct: Annotated[float | None, Ge(0), doc("relative humidity")] = None
    thunder: Annotated[float | None, Ge(0), doc("0 none; any value above is thunder")] = None
    place: Annotated[str, doc("name of the forecast's place; empty: the branch's")] = ""
    latitude: Annotated[float | None, Ge(-90), Le(90), doc("of the place, degrees")] = None
    longitude: Annotated[float | None, Ge(-180), Le(180), doc("of the place, degrees")] = None


@dataclass(frozen=True, slots=True)
class WeatherPlace:
    """Where a forecast holds. NaN coordinates: unknown, so no site is near it."""

    place: str
    latitude: float
    longitude: float


@dataclass(frozen=True, slots=True, eq=False)
class WeatherTable:
    """All rows of `weather` or `weather_past`, as arrays of one length n.

    Values are NaN where empty or impossible. Times are whole seconds since 1970-01-01 UTC.
    """

    places: tuple[WeatherPlace, ...]
    members: tuple[str, ...]
    place_index: NDArray[np.int64]
    """Into `places`."""
    member_index: NDArray[np.int64]
    """Into `members`."""
    valid_s: NDArray[np.int64]
    """Start of the interval."""
    issued_s: NDArray[np.int64]
    """`NO_TIME_S` where unknown."""
    hours: NDArray[np.float64]
    wind_mps: NDArray[np.float64]
    gust_mps: NDArray[np.float64]
    rain_mm: NDArray[np.float64]
    temperature_c: NDArray[np.float64]
    humidity_pct: NDArray[np.float64]
    thunder: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.valid_s)
