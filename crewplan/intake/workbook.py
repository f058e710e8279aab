"""Rows of a workbook's sheets, as the texts that a CSV file would hold.

One text grammar then serves both: a number is written so that it reads back as itself, a day
as ISO 8601, a ticked box as yes or no.
"""

import warnings
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import openpyxl

from crewplan.intake.raw_table import RawTable, UnreadableTable, filled, split_header

_FORMULA = "f"
_ERROR = "e"


@dataclass(frozen=True, slots=True)
class Flaw:
    """A cell that gives no value."""

    row: int
    column: str
    """By the sheet's header."""
    value: str
    problem: str
    expected: str = "a value, or a formula whose value was saved with the workbook"


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook: its own name, its rows, and cells that give no value."""

    title: str
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    flaws: tuple[Flaw, ...]


def cell_text(value: Any) -> str:
    """What a CSV file would hold for a cell's value."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime):
        midnight = value.time() == time() and value.tzinfo is None
        return value.date().isoformat() if midnight else value.isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    return str(value).strip()


def _read(path: Path, stored: bool, wanted: Collection[str]) -> dict[str, list[list[Any]]]:
    """Cells of the wanted sheets (lower case names); `stored`: formulas' saved values."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # styles and extensions that we do not use
        book = openpyxl.load_workbook(path, read_only=True, data_only=stored)
        try:
            sheets: dict[str, list[list[Any]]] = {}
            for sheet in book.worksheets:
                if sheet.title.strip().lower() in wanted:
                    sheet.reset_dimensions()
                    sheets[sheet.title] = [list(row) for row in sheet.iter_rows()]
            return sheets
        finally:
            book.close()


def _sheet(title: str, cells: list[list[Any]], saved: list[list[Any]] | None) -> Sheet:
    rows: list[tuple[int, tuple[str, ...]]] = []
    flaws: list[Flaw] = []
    header = [cell_text(cell.value).lower() for cell in cells[0]] if cells else []
    for number, row in enumerate(cells, start=1):
        texts = []
        for column, shown in enumerate(row):
            formula = _kind(shown) == _FORMULA
            cell = saved[number - 1][column] if formula and saved else shown
            name = header[column] if column < len(header) else ""
            text = cell_text(cell.value)
            if formula and cell.value is None:
                text = cell_text(shown.value)
                flaws.append(Flaw(number, name, text, f"the formula {text} has no saved value"))
            if _kind(cell) == _ERROR:
                flaws.append(Flaw(number, name, text, f'the cell holds the error "{text}"'))
            texts.append(text)
        rows.append((number, tuple(texts)))
    return Sheet(title, tuple(rows), tuple(flaws))


def _kind(cell: Any) -> str:
    return str(getattr(cell, "data_type", ""))


def _has_formula(cells: list[list[Any]]) -> bool:
    return any(_kind(cell) == _FORMULA for row in cells for cell in row)


def sheet_names(path: Path) -> tuple[str, ...]:
    """Titles of all sheets.

    Raises:
        UnreadableTable: where the file is no workbook.
    """
    if path.is_dir():
        raise UnreadableTable("it is a folder", "a workbook saved as .xlsx")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            book = openpyxl.load_workbook(path, read_only=True)
            try:
                return tuple(sheet.title for sheet in book.worksheets)
            finally:
                book.close()
    except Exception:  # the reader meets damaged files with errors of any kind
        raise UnreadableTable(
            "it cannot be read as a workbook", "a workbook saved as .xlsx without a password"
        ) from None


def read_sheets(path: Path, wanted: Collection[str]) -> dict[str, Sheet]:
    """The wanted sheets by lower-case name.

    Raises:
        UnreadableTable: where the file is no workbook, or is damaged.
    """
    try:
        cells = _read(path, False, wanted)
        saved = _read(path, True, wanted) if any(map(_has_formula, cells.values())) else {}
    except Exception:  # the reader meets damaged files with errors of any kind
        raise UnreadableTable(
            "it cannot be read as a workbook", "a workbook saved as .xlsx without a password"
        ) from None
    return {
        title.strip().lower(): _sheet(title, rows, saved.get(title))
        for title, rows in cells.items()
    }


def table_of(name: str, file: str, sheet: Sheet) -> RawTable:
    """A whole table out of a sheet.

    Raises:
        UnreadableTable: where the sheet has no header.
    """
    header, rows = split_header(filled(iter(sheet.rows)))
    return RawTable(name, file, header, tuple(rows))
