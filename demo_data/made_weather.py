"""Invented weather: a forecast of 21 members for 14 days, and past hours of two springs.

Every member is the same fair guess plus an error that all share plus one of its own; both wander
slowly and grow with lead time, so that members stay coherent from hour to hour.
"""

from datetime import date, datetime, time, timedelta

import numpy as np
from invented import FIRST_DAY, OFFSET, PLACES, Row, days_from, dice
from numpy.typing import NDArray

MEMBERS, DAYS = 21, 14
HOURS = 24 * DAYS
ISSUED_HOUR = 15
"""Local hour of the first day at which the forecast was made."""

COLUMNS = (
    "valid_at",
    "issued_at",
    "member",
    "hours",
    "wind_mps",
    "gust_mps",
    "rain_mm",
    "temperature_c",
    "humidity_pct",
    "thunder",
    "place",
    "latitude",
    "longitude",
)

# By day from Sunday 3 May: mean wind at 3 and at 14 o'clock (m/s), least and highest temperature.
DAY_GUESS = (
    (2.2, 3.6, 8.5, 17.0),
    (2.0, 4.0, 9.0, 18.0),
    (3.0, 6.5, 10.0, 19.0),  # a breezy afternoon
    (8.2, 10.4, 10.5, 17.0),  # windy, with a gap at noon
    (9.8, 10.6, 9.5, 15.0),  # windy throughout
    (3.6, 6.3, 9.0, 17.0),  # a breezy afternoon
    (2.4, 4.2, 9.0, 18.0),
    (2.4, 4.4, 9.5, 18.0),
    (2.6, 4.3, 10.0, 18.5),
    (4.0, 5.0, 9.5, 13.0),  # wet
    (2.0, 3.6, 0.5, 15.0),  # a frosty morning
    (2.4, 4.6, 12.5, 28.5),  # warm, thunder in some members
    (3.0, 5.6, 11.0, 20.0),
    (2.6, 4.4, 10.0, 19.0),
)
WINDY_DAY, WET_DAY, THUNDER_DAY = 3, 9, 11
GAP = {10: 7.8, 11: 4.0, 12: 2.9, 13: 3.3, 14: 7.9}
"""Mean wind in the hours of the calm gap (m/s)."""


def wander(rng: np.random.Generator, count: int, hours: int, keep: float = 0.97) -> NDArray[float]:
    """Unit-variance errors that keep `keep` of themselves from hour to hour, (count, hours)."""
    out = np.empty((count, hours))
    out[:, 0] = rng.standard_normal(count)
    for hour in range(1, hours):
        fresh = rng.standard_normal(count)
        out[:, hour] = keep * out[:, hour - 1] + np.sqrt(1 - keep**2) * fresh
    return out


def through(points: list[tuple[float, float]], hours: int) -> NDArray[float]:
    """A curve through (hour, value) points, straight between them."""
    at, value = zip(*points, strict=True)
    return np.interp(np.arange(hours), at, value)


def wind_guess() -> NDArray[float]:
    """Fair guess of the mean wind, by hour (m/s)."""
    points: list[tuple[float, float]] = []
    for day, (night, noon, _, _) in enumerate(DAY_GUESS):
        points += [(24 * day + 3, night), (24 * day + 14, noon), (24 * day + 20, noon * 0.7)]
        if day in (WINDY_DAY, WINDY_DAY + 1):  # the spell does not drop in the evening
            points[-1] = (24 * day + 20, noon * 0.95)
    guess = through(points, HOURS)
    for hour, value in GAP.items():
        guess[24 * WINDY_DAY + hour] = value
    return guess


def temperature_guess() -> NDArray[float]:
    """Fair guess of the air's temperature, by hour (degC)."""
    points: list[tuple[float, float]] = []
    for day, (_, _, least, most) in enumerate(DAY_GUESS):
        points += [(24 * day + 5, least), (24 * day + 15, most)]
    return through(points, HOURS)


def rain(rng: np.random.Generator) -> NDArray[float]:
    """Rain of each member and hour (mm): one wet day, and a few stray showers late in the table."""
    out = np.zeros((MEMBERS, HOURS))
    for member in range(MEMBERS):
        if member not in (4, 16):  # two members send the wet day past
            begin = 24 * WET_DAY - 1 + int(np.rint(rng.normal(0, 2)))
            length = 17 + int(np.rint(rng.normal(0, 2)))
            amount = 0.9 * np.exp(rng.normal(0, 0.4))
            out[member, begin : begin + length] = amount * rng.uniform(0.5, 1.5, length)
        for day in range(4, DAYS):
            if rng.random() < 0.012 * day:
                begin = 24 * day + int(rng.integers(10, 19))
                out[member, begin : begin + 3] += rng.uniform(0.3, 1.2, 3)
    return out


def forecast() -> list[Row]:
    """All rows of the table `weather`."""
    rng = dice("weather")
    days_ahead = np.maximum(np.arange(HOURS) - ISSUED_HOUR, 0) / 24
    common, own = wander(rng, 1, HOURS), wander(rng, MEMBERS, HOURS)
    error = common * (0.02 + 0.008 * days_ahead) + own * (0.05 + 0.02 * days_ahead)
    clock = np.arange(HOURS) % 24
    sun = np.clip(np.sin((clock - 6) / 14 * np.pi), 0, None)
    gustiness = np.clip(1.42 + 0.1 * sun + 0.06 * wander(rng, MEMBERS, HOURS, 0.8), 1.3, 1.8)
    wind = wind_guess() * np.exp(error)
    warmth = 0.3 + 0.12 * days_ahead
    temperature = temperature_guess() + wander(rng, MEMBERS, HOURS) * warmth
    wet = rain(rng)
    thunder = np.zeros((MEMBERS, HOURS), dtype=int)
    for member, hour in ((2, 14), (7, 15), (11, 13), (18, 16)):
        at = 24 * THUNDER_DAY + hour
        thunder[member, at : at + 2] = 1
        wet[member, at : at + 2] += 2.4
    humid = 88 - 40 * sun + 4 * wander(rng, MEMBERS, HOURS)
    humid = np.clip(np.where(wet > 0, 94.0, humid), 25, 99)
    issued_at = f"{FIRST_DAY}T{ISSUED_HOUR:02}:00:00{OFFSET}"
    rows: list[Row] = []
    for place, (latitude, longitude) in PLACES.items():
        inland = 1.0 if place == "Quillmere" else 0.94
        for member in range(MEMBERS):
            for hour, start in enumerate(hour_starts(FIRST_DAY, DAYS)):
                mean = wind[member, hour] * inland
                rows.append(
                    {
                        "valid_at": start,
                        "issued_at": issued_at,
                        "member": member,
                        "hours": 1,
                        "wind_mps": f"{mean:.1f}",
                        "gust_mps": f"{mean * gustiness[member, hour]:.1f}",
                        "rain_mm": f"{wet[member, hour] * inland:.1f}",
                        "temperature_c": f"{temperature[member, hour]:.1f}",
                        "humidity_pct": f"{humid[member, hour]:.0f}",
                        "thunder": thunder[member, hour],
                        "place": place,
                        "latitude": latitude,
                        "longitude": longitude,
                    }
                )
    return rows


def hour_starts(first: date, days: int) -> list[str]:
    """Starts of all hours, local with offset."""
    begin = datetime.combine(first, time())
    return [f"{(begin + timedelta(hours=n)).isoformat()}{OFFSET}" for n in range(24 * days)]


def past() -> list[Row]:
    """All rows of `weather_past`: 45 days before the clock, and 45 of the year before."""
    rng = dice("weather_past")
    rows: list[Row] = []
    for first, days in ((date(2025, 4, 20), 45), (date(2026, 3, 19), 45)):
        hours = 24 * days
        season = np.array([(day - date(day.year, 4, 20)).days for day in days_from(first, days)])
        clock = np.arange(hours) % 24
        sun = np.clip(np.sin((clock - 6) / 14 * np.pi), 0, None)
        slow = np.repeat(wander(rng, 1, days, 0.5)[0], 24)
        fair = (2.8 + 2.0 * sun) * np.exp(0.35 * slow + 0.15 * wander(rng, 1, hours)[0])
        gustiness = np.clip(1.42 + 0.1 * sun + 0.08 * rng.standard_normal(hours), 1.3, 1.8)
        warmth = np.repeat(6 + 0.18 * season + 2.5 * wander(rng, 1, days, 0.6)[0], 24) + 6 * sun
        wet_day = np.repeat(rng.random(days) < 0.28, 24)
        wet = np.where(wet_day & (rng.random(hours) < 0.4), rng.gamma(1.2, 0.7, hours), 0.0)
        storm = wet_day & (wet > 2.5) & (warmth > 12)
        humid = np.clip(np.where(wet > 0, 94, 86 - 38 * sun + rng.normal(0, 4, hours)), 25, 99)
        for place, (latitude, longitude) in PLACES.items():
            inland = 1.0 if place == "Quillmere" else 0.94
            for hour, start in enumerate(hour_starts(first, days)):
                mean = fair[hour] * inland
                rows.append(
                    {
                        "valid_at": start,
                        "hours": 1,
                        "wind_mps": f"{mean:.1f}",
                        "gust_mps": f"{mean * gustiness[hour]:.1f}",
                        "rain_mm": f"{wet[hour] * inland:.1f}",
                        "temperature_c": f"{warmth[hour]:.1f}",
                        "humidity_pct": f"{humid[hour]:.0f}",
                        "thunder": int(storm[hour]),
                        "place": place,
                        "latitude": latitude,
                        "longitude": longitude,
                    }
                )
    return rows
