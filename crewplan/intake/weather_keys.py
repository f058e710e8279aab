"""Each interval of a place and member once, and none inside another."""

import numpy as np
from numpy.typing import NDArray

from crewplan.intake.faults import Report, quoted
from crewplan.intake.weather_cells import TextTable
from crewplan.model.weather_table import NO_TIME_S, WeatherTable

_MOST_TOLD = 50
_SECONDS_AN_HOUR = 3600
_TWICE = ("", "stands already in", "each place, time and member once")
_OVERLAP = ("the interval from ", "overlaps that of", "intervals that do not overlap")


def check_keys(table: TextTable, weather: WeatherTable, report: Report) -> None:
    """Fault a second row of one place, instant and member, and intervals that overlap."""
    group = weather.place_index * max(1, len(weather.members)) + weather.member_index
    order = np.lexsort((weather.valid_s, group))
    order = order[weather.valid_s[order] != NO_TIME_S]  # told already
    start, group = weather.valid_s[order], group[order]
    end = start + np.rint(weather.hours[order] * _SECONDS_AN_HOUR).astype(np.int64)
    same = group[1:] == group[:-1]
    twice = same & (start[1:] == start[:-1])
    overlap = same & ~twice & (end[:-1] > start[1:])
    _tell(table, weather, order, np.flatnonzero(twice), _TWICE, report)
    _tell(table, weather, order, np.flatnonzero(overlap), _OVERLAP, report)


def _tell(
    table: TextTable,
    weather: WeatherTable,
    order: NDArray[np.int64],
    pairs: NDArray[np.int64],
    words: tuple[str, str, str],
    report: Report,
) -> None:
    """Fault the later row of each pair of neighbours, naming the earlier one."""
    if not len(pairs):
        return
    before, after, expected = words
    column = [name.lower() for name in table.header].index("valid_at")
    for number, pair in enumerate(pairs):
        first, second = sorted((int(order[pair]), int(order[pair + 1])))
        row, value = int(table.rows[second]), table.columns[column].at(second)
        if number == _MOST_TOLD:
            problem = f"{len(pairs) - _MOST_TOLD} further rows are wrong in the same way"
            report.fault(table.file, row, "valid_at", "", expected, problem)
            return
        earlier = int(table.rows[first])
        problem = f"{before}{quoted(value)}{_who(weather, second)} {after} row {earlier}"
        report.fault(table.file, row, "valid_at", value, expected, problem)


def _who(weather: WeatherTable, index: int) -> str:
    place = weather.places[int(weather.place_index[index])].place
    member = weather.members[int(weather.member_index[index])]
    words = [f"member {member}"] if member else []
    words += [f"place {place}"] if place else []
    return f" of {', '.join(words)}" if words else ""
