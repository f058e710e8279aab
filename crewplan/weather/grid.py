"""A weather table by place, ready to be asked for any hours; and which place is nearest."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from crewplan.model.branch import Branch
from crewplan.model.weather_table import NO_TIME_S, WeatherTable

HOUR_S = 3_600
_EARTH_KM = 6_371.0088
"""Mean radius (IUGG)."""


@dataclass(frozen=True, slots=True, eq=False)
class PlaceGrid:
    """The rows of one place, as columns of one length n.

    `member` counts the table's members by name, so that the order of rows changes nothing.
    """

    place: str
    latitude: float
    longitude: float
    member: NDArray[np.int64]
    start_s: NDArray[np.int64]
    end_s: NDArray[np.int64]
    issued_s: NDArray[np.int64]
    fields: dict[str, NDArray[np.float64]]
    """By column of the table; NaN where the cell is empty or impossible."""

    @property
    def last_s(self) -> int:
        """End of the place's last interval; far in the past where it has none."""
        return int(self.end_s.max()) if len(self.end_s) else NO_TIME_S


def grids_of(table: WeatherTable) -> tuple[PlaceGrid, ...]:
    """The places of a table, by name."""
    rank = np.argsort(np.argsort(np.array(table.members, dtype=str), kind="stable"))
    member = rank[table.member_index] if len(table) else np.empty(0, dtype=np.int64)
    length_s = np.rint(table.hours * HOUR_S).astype(np.int64)
    order = np.argsort(table.place_index, kind="stable")
    bounds = np.searchsorted(table.place_index[order], np.arange(len(table.places) + 1))
    grids = []
    for index, place in enumerate(table.places):
        rows = order[bounds[index] : bounds[index + 1]]
        fields = {
            "wind": table.wind_mps[rows],
            "gust": table.gust_mps[rows],
            "rain": table.rain_mm[rows],
            "temperature": table.temperature_c[rows],
            "humidity": table.humidity_pct[rows],
            "thunder": table.thunder[rows],
        }
        grids.append(
            PlaceGrid(
                place.place,
                place.latitude,
                place.longitude,
                member[rows].astype(np.int64),
                table.valid_s[rows],
                table.valid_s[rows] + length_s[rows],
                table.issued_s[rows],
                fields,
            )
        )
    return tuple(sorted(grids, key=lambda grid: grid.place))


def place_grids(branch: Branch) -> tuple[PlaceGrid, ...]:
    """The forecast's places, by name."""
    return grids_of(branch.weather)


def past_grids(branch: Branch) -> tuple[PlaceGrid, ...]:
    """The places of observed weather, by name."""
    return grids_of(branch.weather_past)


def past_of(branch: Branch, grid: PlaceGrid) -> PlaceGrid | None:
    """Observed weather of a forecast's place: by its name, else the nearest in reach."""
    grids = [past for past in past_grids(branch) if len(past.start_s)]
    for past in grids:
        if past.place == grid.place:
            return past
    index, km = nearest(grids, grid.latitude, grid.longitude)
    return grids[index[0]] if km[0] <= branch.settings.weather_reach_km else None


def denominator(branch: Branch) -> int:
    """Members that every share counts: those of the whole table, or `weather_members` if more."""
    return max(len(branch.weather.members), branch.settings.weather_members or 0, 1)


def nearest(
    grids: Sequence[PlaceGrid], latitude: ArrayLike, longitude: ArrayLike
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The place nearest to each of S sites over the whole table, by great circle.

    Returns:
        [S] index into `grids`, -1 where no place has coordinates, and [S] distance in km, then
        infinite. Of places equally near, the first.
    """
    lat = np.radians(np.atleast_1d(np.asarray(latitude, dtype=np.float64)))[:, None]
    lon = np.radians(np.atleast_1d(np.asarray(longitude, dtype=np.float64)))[:, None]
    if not grids:
        return np.full(len(lat), -1), np.full(len(lat), np.inf)
    to_lat = np.radians([grid.latitude for grid in grids])
    to_lon = np.radians([grid.longitude for grid in grids])
    h = np.sin((to_lat - lat) / 2) ** 2
    h = h + np.cos(lat) * np.cos(to_lat) * np.sin((to_lon - lon) / 2) ** 2
    km = 2 * _EARTH_KM * np.arcsin(np.sqrt(np.clip(h, 0.0, 1.0)))
    km = np.where(np.isfinite(km), km, np.inf)
    best = np.argmin(km, axis=1)
    least = km[np.arange(len(lat)), best]
    return np.where(np.isfinite(least), best, -1), least
