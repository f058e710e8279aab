"""Weather tables as columns: faults told by row, impossible values made unknown with a warning."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crewplan.intake import grammar
from crewplan.intake.faults import Report
from crewplan.intake.fields import Field, fields_of
from crewplan.intake.layout import Column, lay_out
from crewplan.intake.raw_table import UnreadableTable
from crewplan.intake.sources import Source
from crewplan.intake.typed_rows import checked
from crewplan.intake.weather_cells import TextColumn, TextTable, read_texts
from crewplan.intake.weather_keys import check_keys
from crewplan.intake.weather_places import Coordinates, read_places
from crewplan.intake.weather_sense import without_impossible
from crewplan.model.weather_table import NO_TIME_S, VALUE_COLUMNS, WeatherRow, WeatherTable

_MOST_TOLD = 50
"""Bad cells of one column that are told one by one; the rest is counted."""

_FIELDS: dict[str, Field] = {field.name: field for field in fields_of(WeatherRow)}


def _seconds(value: datetime | None) -> int:
    return NO_TIME_S if value is None else int(value.timestamp() // 1)


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """The table's texts with the field that each column holds."""

    table: TextTable
    columns: dict[str, Column]
    report: Report

    def texts(self, name: str) -> TextColumn:
        """The cells of a field; all empty where the file has no such column."""
        column = self.columns.get(name)
        if column is None:
            return TextColumn(np.zeros(len(self.table.rows), dtype=np.int64), ("",))
        return self.table.columns[column.index]

    def values(self, name: str, read: Callable[[str], Any], empty: Any) -> list[Any]:
        """The value of each distinct text; bad ones are told by row and stand as `empty`."""
        cells = self.texts(name)
        values, bad = [], {}
        for code, text in enumerate(cells.texts):
            try:
                values.append(read(text) if text else empty)
            except grammar.Unreadable as problem:
                values.append(empty)
                bad[code] = str(problem)
        if bad:
            self._tell(name, cells, bad)
        return values

    def _tell(self, name: str, cells: TextColumn, bad: dict[int, str]) -> None:
        at = np.flatnonzero(np.isin(cells.codes, list(bad)))
        column = self.columns[name].name
        expected = _FIELDS[name].expected()
        for index in at[:_MOST_TOLD]:
            problem = bad[int(cells.codes[index])]
            row = int(self.table.rows[index])
            self.report.fault(self.table.file, row, column, cells.at(int(index)), expected, problem)
        if len(at) > _MOST_TOLD:
            problem = f"{len(at) - _MOST_TOLD} further rows are wrong in the same way"
            row = int(self.table.rows[at[_MOST_TOLD]])
            self.report.fault(self.table.file, row, column, "", expected, problem)

    def typed(self, name: str) -> Callable[[str], Any]:
        """Reads a text by the model's type, bounds included."""
        return lambda text: checked(WeatherRow, _FIELDS[name], text, self.columns.get(name))

    def number(self, name: str) -> Callable[[str], float]:
        """Reads a number in the field's unit, whatever its size: impossible ones only warn."""
        column = self.columns.get(name)
        if column is None:
            return grammar.number
        return lambda text: column.canonical(grammar.number(text))

    def spread(self, name: str, values: list[Any], dtype: Any) -> NDArray[Any]:
        """Values of distinct texts, laid out by row."""
        return np.array(values, dtype=dtype)[self.texts(name).codes]


def _too_long(table: TextTable, report: Report) -> None:
    for row, cells, last in table.too_long[:_MOST_TOLD]:
        wish = 'as many cells as columns, and " around a cell with a comma'
        problem = f"the row has {cells} cells, the header {len(table.header)}"
        report.fault(table.file, row, "", last, wish, problem)


def _required(cells: _Cells, names: tuple[str, ...]) -> None:
    for name in names:
        file, report = cells.table.file, cells.report
        if name not in cells.columns:
            report.fault(file, 1, name, "", _FIELDS[name].expected(), "the column is missing")
            continue
        texts = cells.texts(name)
        if "" in texts.texts:
            empty = np.flatnonzero(texts.codes == texts.texts.index(""))
            for index in empty[:_MOST_TOLD]:
                row = int(cells.table.rows[index])
                column = cells.columns[name].name
                report.fault(file, row, column, "", _FIELDS[name].expected(), "the cell is empty")


def _words(cells: _Cells, name: str) -> tuple[NDArray[np.int64], tuple[str, ...]]:
    """Codes and words, without the mark that keeps a spreadsheet from running a word."""
    words = cells.values(name, cells.typed(name), "")
    known = {word: code for code, word in enumerate(dict.fromkeys(words))}
    renumber = np.array([known[word] for word in words], dtype=np.int64)
    codes = cells.texts(name).codes
    return (renumber[codes] if words else codes), tuple(known)


def _ordered(codes: NDArray[np.int64], words: tuple[str, ...]) -> tuple[Any, tuple[str, ...]]:
    """Codes of the words that are used, numbered by the word's first row."""
    used, first = np.unique(codes, return_index=True)
    order = used[np.argsort(first)]
    renumber = np.zeros(max(len(words), 1), dtype=np.int64)
    renumber[order] = np.arange(len(order))
    return renumber[codes], tuple(words[code] for code in order)


def read_weather(
    source: Source, past: bool, branch: Coordinates | None, report: Report
) -> WeatherTable | None:
    """A forecast, or past weather (`past`: one observation, no member, no issue time).

    `branch` stands in for the coordinates of rows without a place. None, with the faults told,
    where the file cannot be read to its end.
    """
    try:
        table = read_texts(source)
    except UnreadableTable as bad:
        report.fault(source.file, bad.row, "", "", bad.expected, bad.problem)
        return None
    columns = lay_out(table.file, table.header, tuple(_FIELDS.values()), report)
    cells = _Cells(table, columns, report)
    _too_long(table, report)
    _required(cells, ("valid_at",) if past else ("valid_at", "member"))

    valid = [_seconds(t) for t in cells.values("valid_at", cells.typed("valid_at"), None)]
    issued = [_seconds(t) for t in cells.values("issued_at", cells.typed("issued_at"), None)]
    hours = cells.values("hours", cells.typed("hours"), 1.0)
    place_index, place_words = _ordered(*_words(cells, "place"))
    members: tuple[str, ...]
    if past:
        member_index, members = np.zeros(len(table.rows), dtype=np.int64), ("",)
    else:
        member_index, members = _ordered(*_words(cells, "member"))
    latitude, longitude = (
        cells.spread(name, cells.values(name, cells.typed(name), np.nan), np.float64)
        for name in ("latitude", "longitude")
    )
    numbers = {
        name: cells.spread(name, cells.values(name, cells.number(name), np.nan), np.float64)
        for name in VALUE_COLUMNS
    }
    weather = WeatherTable(
        places=read_places(table, place_words, place_index, latitude, longitude, branch, report),
        members=members if len(table.rows) else (),
        place_index=place_index,
        member_index=member_index,
        valid_s=cells.spread("valid_at", valid, np.int64),
        issued_s=cells.spread("issued_at", issued, np.int64),
        hours=cells.spread("hours", hours, np.float64),
        **without_impossible(table, numbers, report),
    )
    check_keys(table, weather, report)
    return weather


def no_weather() -> WeatherTable:
    """A table without rows."""
    times, values = np.zeros(0, dtype=np.int64), np.zeros(0)
    columns = dict.fromkeys(VALUE_COLUMNS, values)
    return WeatherTable((), (), times, times, times, times, values, **columns)
