"""Where each place of a forecast lies."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crewplan.intake.faults import Report, quoted
from crewplan.intake.weather_cells import TextTable
from crewplan.model.weather_table import WeatherPlace


@dataclass(frozen=True, slots=True)
class Coordinates:
    """Degrees, north and east positive."""

    latitude: float
    longitude: float


def _one(
    table: TextTable, column: str, word: str, at: NDArray[Any], values: Any, report: Report
) -> float:
    """The value that a place has in any of its rows; NaN: in none."""
    given = at[~np.isnan(values[at])]
    if not len(given):
        return float("nan")
    first = float(values[given[0]])
    other = given[values[given] != first]
    if len(other):
        value = float(values[other[0]])
        problem = f"{quoted(f'{value:g}')} differs from row {int(table.rows[given[0]])}"
        wish = f"one {column} for {f'place {word}' if word else 'rows without a place'}"
        report.fault(table.file, int(table.rows[other[0]]), column, f"{value:g}", wish, problem)
    return first


def read_places(
    table: TextTable,
    words: tuple[str, ...],
    index: NDArray[np.int64],
    latitude: NDArray[np.float64],
    longitude: NDArray[np.float64],
    branch: Coordinates | None,
    report: Report,
) -> tuple[WeatherPlace, ...]:
    """Coordinates by place: its own; the branch's without a name; else unknown, with a warning."""
    order = np.argsort(index, kind="stable")
    starts = np.searchsorted(index[order], np.arange(len(words) + 1))
    places: list[WeatherPlace] = []
    for number, word in enumerate(words):
        at = order[starts[number] : starts[number + 1]]
        north = _one(table, "latitude", word, at, latitude, report)
        east = _one(table, "longitude", word, at, longitude, report)
        if np.isnan(north) != np.isnan(east):
            problem = "a latitude without a longitude, or the other way round"
            row = int(table.rows[at[0]])
            report.fault(table.file, row, "latitude, longitude", "", "both or none", problem)
        elif np.isnan(north) and not word and branch is not None:
            north, east = branch.latitude, branch.longitude
        elif np.isnan(north) and word:
            report.warn(
                f"{table.file}, row {int(table.rows[at[0]])}, column place: {quoted(word)} has no "
                "latitude and longitude in any row, so that no site is near it."
            )
        places.append(WeatherPlace(word, north, east))
    return tuple(places)
