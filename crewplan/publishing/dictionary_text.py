"""The dictionary of the tables as text, cells and JSON."""

from dataclasses import astuple, fields
from itertools import groupby
from typing import Any

from crewplan.intake.dictionary import DictionaryRow, table_dictionary
from crewplan.publishing.terminal import table_text

DICTIONARY_COLUMNS = tuple(field.name for field in fields(DictionaryRow))


def dictionary_cells() -> list[tuple[Any, ...]]:
    """One row a column, in the order of `DICTIONARY_COLUMNS`."""
    return [astuple(row) for row in table_dictionary()]


def dictionary_json() -> list[dict[str, Any]]:
    """One object a column."""
    return [dict(zip(DICTIONARY_COLUMNS, cells, strict=True)) for cells in dictionary_cells()]


def _cells(row: DictionaryRow) -> tuple[str, ...]:
    kind = f"{row.type}, {row.unit}" if row.unit else row.type
    cell = "key" if row.key else "needed" if row.needed else "may be empty"
    if row.default:
        cell += f": {row.default}"
    return row.column, kind, cell, row.choices, row.about


def dictionary_text() -> str:
    """Every table in turn, with a line for each column."""
    parts: list[str] = []
    for name, rows in groupby(table_dictionary(), key=lambda row: row.table):
        columns = list(rows)
        first = columns[0]
        must = "must be there" if first.must_be_there else "may be missing"
        parts.append(f"{name}: {first.about_table} ({must})")
        head = ("column", "type", "cell", "choices", "what it says")
        parts.append(table_text(head, map(_cells, columns)))
    return "\n".join(parts)
