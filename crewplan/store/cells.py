"""Rows of the model's types as texts of cells, and back: the inverse of what intake reads.

A row is kept and exported as one text a column, in the order of the row type's fields. Numbers are
written so that they read back as the same number.
"""

from collections.abc import Callable, Sequence
from datetime import date, time
from functools import cache
from typing import Any

from crewplan.intake import grammar
from crewplan.intake.fields import Field, Kind, fields_of
from crewplan.model.limit_row import CANONICAL_UNIT
from crewplan.model.tables import BY_NAME
from crewplan.model.units import WORDS, convert

Cells = tuple[str, ...]

_MOST_DECIMALS = 12
_LARGEST_WHOLE = 1e12


def number_text(value: float) -> str:
    """The shortest text that reads back as the number; whole ones without a point."""
    if value == int(value) and abs(value) < _LARGEST_WHOLE:
        return str(int(value))
    return repr(float(value))


def _span(days: tuple[date, date]) -> str:
    first, last = days
    return str(first) if first == last else f"{first}..{last}"


def _time(value: time) -> str:
    return value.isoformat(timespec="auto" if value.second or value.microsecond else "minutes")


_WRITERS: dict[str, Callable[[Any], str]] = {
    "text": str,
    "choice": str,
    "number": number_text,
    "whole number": str,
    "day": str,
    "time of day": _time,
    "yes/no": lambda value: "yes" if value else "no",
    "texts": ";".join,
    "choices": ";".join,
    "whole numbers": lambda values: ";".join(map(str, values)),
    "days": lambda values: ";".join(map(str, values)),
    "spans of days": lambda values: ";".join(map(_span, values)),
}


def value_text(field: Field, value: Any) -> str:
    """One cell, without the mark that an export puts before what a spreadsheet would run."""
    if value is None:
        return "none" if field.takes_none else ""
    return _WRITERS[field.kind](value)


@cache
def columns_of(table: str) -> tuple[str, ...]:
    """The table's columns in the order of the dictionary."""
    return tuple(field.name for field in fields_of(BY_NAME[table].row))


@cache
def _ways(table: str) -> tuple[tuple[str, Callable[[Any], str], str], ...]:
    """By column: its name, what writes its values, and how it says that there is none."""
    fields = fields_of(BY_NAME[table].row)
    return tuple((field.name, _WRITERS[field.kind], value_text(field, None)) for field in fields)


def cells_of(table: str, row: Any) -> Cells:
    """A row as texts, units as the model has them."""
    return tuple(
        [
            none if (value := getattr(row, name)) is None else write(value)
            for name, write, none in _ways(table)
        ]
    )


@cache
def _read(kind: Kind, text: str) -> Any:
    """Values are frozen, so that equal cells may share one."""
    return grammar.read_kind(kind, text)


@cache
def _reading(table: str) -> tuple[Callable[..., Any], tuple[tuple[Kind, bool, Any], ...]]:
    """What makes a row, and of each column, in order: kind, whether it takes none, default."""
    row = BY_NAME[table].row
    return row, tuple((field.kind, field.takes_none, field.default) for field in fields_of(row))


def completed(table: str, cells: Cells) -> Cells:
    """Cells of a row that was written before its table got its last columns: those are empty."""
    fields = fields_of(BY_NAME[table].row)[len(cells) :]
    if not fields:
        return cells
    return (*cells, *(value_text(field, field.default) for field in fields))


def row_of(table: str, cells: Sequence[str]) -> Any:
    """The row of texts that `cells_of` gave: trusted, so that its bounds are not checked again."""
    row, ways = _reading(table)
    return row(
        *[
            default
            if not text
            else None
            if takes_none and text == "none"
            else text
            if kind == "text"
            else _read(kind, text)
            for (kind, takes_none, default), text in zip(ways, cells, strict=True)
        ]
    )


def _limit_for_people(cells: dict[str, str]) -> dict[str, str]:
    """A limit in its row's own unit; in the model's where no short number gives it exactly."""
    inside = CANONICAL_UNIT[cells["measure"]]
    if not inside or cells["at_most"] == "none":
        return cells
    kept, source = float(cells["at_most"]), WORDS[inside.lower()]
    shown = WORDS[cells["unit"].lower()]
    exact = convert(kept, source, shown)
    for decimals in range(_MOST_DECIMALS):
        short = round(exact, decimals)
        if convert(short, shown, source) == kept:
            return {**cells, "at_most": number_text(short)}
    return {**cells, "unit": inside}


def cells_for_people(table: str, cells: Cells) -> Cells:
    """Cells as an export writes them: limits in their own unit, nothing that a spreadsheet runs."""
    fields = fields_of(BY_NAME[table].row)
    if table == "limits":
        named = dict(zip(columns_of(table), cells, strict=True))
        cells = tuple(_limit_for_people(named).values())
    return tuple(_marked(field.kind, text) for field, text in zip(fields, cells, strict=True))


def _marked(kind: Kind, text: str) -> str:
    """Each word of a list by itself: where `;` parts columns, each would be a cell."""
    if kind == "texts":
        return ";".join(map(grammar.marked, text.split(";")))
    return grammar.marked(text) if kind == "text" else text
