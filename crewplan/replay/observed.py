"""What the weather was: hour by hour at one place, and which hours were open."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.limit_row import Limit
from crewplan.model.weather_table import WeatherPlace, WeatherTable
from crewplan.model.work_rows import EXPOSURES
from crewplan.weather import effective_limits, within_limits
from crewplan.weather.grid import HOUR_S, grids_of

FIELDS = ("wind", "gust", "rain", "temperature", "humidity", "thunder")


@dataclass(frozen=True, slots=True, eq=False)
class Observed:
    """Consecutive hours at one place; NaN where nothing was observed."""

    place: WeatherPlace
    first_s: int
    """Start of the first hour, seconds since 1970-01-01 UTC."""
    fields: dict[str, NDArray[np.float64]]
    """[H] by name of FIELDS, in the table's units."""

    @property
    def hours(self) -> int:
        """How many."""
        return len(self.fields["wind"])

    def index(self, start_s: int) -> int:
        """Which hour starts at that second; outside 0 to `hours` where none does."""
        return (start_s - self.first_s) // HOUR_S


def observed_at(table: WeatherTable, place: str) -> Observed:
    """The hours of one place of a table of past weather, those between rows without values too.

    Raises:
        ValueError: where the table has no row of the place, or rows that are not of an hour.
    """
    grid = next((one for one in grids_of(table) if one.place == place and len(one.start_s)), None)
    if grid is None:
        raise ValueError(f"no past weather at {place or 'the branch'}")
    if bool((grid.end_s - grid.start_s != HOUR_S).any()):
        raise ValueError(f"a replay needs past weather by the hour; {place} has other intervals")
    first = int(grid.start_s.min())
    at = (grid.start_s - first) // HOUR_S
    fields = {}
    for name in FIELDS:
        values = np.full(int(at.max()) + 1, np.nan)
        values[at] = grid.fields[name]
        fields[name] = values
    return Observed(WeatherPlace(place, grid.latitude, grid.longitude), first, fields)


def as_table(
    place: WeatherPlace,
    first_s: int,
    fields: dict[str, NDArray[np.float64]],
    issued_s: int,
) -> WeatherTable:
    """Hours of M members, [M, H] by field, as a forecast's table."""
    members, hours = fields["wind"].shape
    n = members * hours
    starts = first_s + HOUR_S * np.arange(hours, dtype=np.int64)
    flat = {name: values.reshape(n) for name, values in fields.items()}
    return WeatherTable(
        (place,),
        tuple(f"{member:02d}" for member in range(members)),
        np.zeros(n, dtype=np.int64),
        np.repeat(np.arange(members, dtype=np.int64), hours),
        np.tile(starts, members),
        np.full(n, issued_s, dtype=np.int64),
        np.ones(n),
        wind_mps=flat["wind"],
        gust_mps=flat["gust"],
        rain_mm=flat["rain"],
        temperature_c=flat["temperature"],
        humidity_pct=flat["humidity"],
        thunder=flat["thunder"],
    )


def open_to(
    observed: Observed, package: tuple[Limit, ...], folder: tuple[Limit, ...]
) -> NDArray[np.bool_]:
    """[3, H]: which hours were within limits for ground, roof and lift.

    An hour of which a needed value is missing was shut: nobody can say that it was open.
    """
    table = as_table(
        observed.place,
        observed.first_s,
        {name: values[None] for name, values in observed.fields.items()},
        observed.first_s,
    )
    (grid,) = grids_of(table)
    starts = observed.first_s + HOUR_S * np.arange(observed.hours, dtype=np.int64)
    found = within_limits(grid, effective_limits(package, folder), starts)
    return np.stack([found[exposure].good[0] for exposure in EXPOSURES])
