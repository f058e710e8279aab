"""Rows of a workbook's sheets, as the texts that a CSV file would hold.

One text grammar then serves both: a number is written so that it reads back as itself, a day
as ISO 8601, a ticked box as yes or no. Macros, links and pictures are never looked at.
"""

import warnings
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from operator import attrgetter
from pathlib import Path
from typing import Any

import openpyxl

from crewplan.intake import file_limits as most
from crewplan.intake.plain_files import check_cell
from crewplan.intake.raw_table import RawTable, UnreadableTable, filled, split_header
from crewplan.intake.workbook_package import UNREADABLE, WISH, check_package
from crewplan.model.characters import without_embeddings

_FORMULA = "f"
_ERROR = "e"
_VALUE = attrgetter("value")
_MOST_BITS = 1024
"""Of a whole number that is shown in digits: Python refuses to write one of thousands."""


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


@dataclass(frozen=True, slots=True)
class Book:
    """A workbook: the titles of all its sheets, and the wanted ones in their order."""

    titles: tuple[str, ...]
    sheets: tuple[Sheet, ...]


def cell_text(value: Any) -> str:
    """What a CSV file would hold for a cell's value."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int) and value.bit_length() > _MOST_BITS:
        return f"a number of {value.bit_length()} bits"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime):
        midnight = value.time() == time() and value.tzinfo is None
        return value.date().isoformat() if midnight else value.isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    return without_embeddings(str(value)).strip()


class _Measure:
    """Counts what all sheets hold, so that neither gaps nor shared texts multiply unseen."""

    def __init__(self) -> None:
        self.cells = self.characters = 0

    def row(self, number: int, cells: int) -> None:
        self.cells += cells
        if number > most.SHEET_ROWS:
            raise UnreadableTable("a sheet goes on after this row", "no further rows", number)
        if self.cells > most.SHEET_CELLS:
            wish = f"at most {most.SHEET_CELLS:,} cells; a longer table as CSV"
            raise UnreadableTable("its sheets are too large", wish)

    def text(self, text: str, number: int) -> None:
        check_cell(text, number)
        self.characters += len(text)
        if self.characters > most.SHEET_CHARACTERS:
            wish = f"at most {most.SHEET_CHARACTERS:,} characters in all cells"
            raise UnreadableTable("its sheets hold too much text", wish)


@contextmanager
def _opened(path: Path, *, saved: bool) -> Iterator[Any]:
    """A workbook; `saved`: formulas show the values that were saved with them."""
    # opened here: of a damaged workbook openpyxl leaves its own file open
    with path.open("rb") as file, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # styles and extensions that we do not use
        book = openpyxl.load_workbook(file, read_only=True, data_only=saved, keep_links=False)
        try:
            yield book
        finally:
            book.close()


@contextmanager
def _told() -> Iterator[None]:
    """Damaged files give errors of any kind; people get a sentence."""
    try:
        yield
    except UnreadableTable:
        raise
    except Exception:
        raise UnreadableTable(UNREADABLE, WISH) from None


def _rows(sheet: Any, measure: _Measure) -> Iterator[tuple[int, Any]]:
    """Rows with anything in them, without the empty cells at their ends."""
    sheet.reset_dimensions()  # what a sheet says of its own size is not trusted
    for number, row in enumerate(sheet.iter_rows(), start=1):
        measure.row(number, len(row))
        values = tuple(map(_VALUE, row))  # a row of one cell at the far right has thousands
        width = len(values)
        while width and values[width - 1] is None:
            width -= 1
        if width > most.COLUMNS:
            problem = f"a row has cells up to column {width:,}"
            raise UnreadableTable(problem, f"at most {most.COLUMNS}", number)
        if width:
            yield number, row[:width]


def _kind(cell: Any) -> str:
    return str(getattr(cell, "data_type", ""))


def _formula_text(value: Any) -> str:
    """A formula as it is written; one of a table of values has no text of its own."""
    return cell_text(value if isinstance(value, str) else getattr(value, "text", "") or "=")


def _saved(path: Path, title: str, at: Collection[tuple[int, int]]) -> dict[tuple[int, int], Any]:
    """Cells of formulas with the values that were saved."""
    rows = {number for number, _ in at}
    found: dict[tuple[int, int], Any] = {}
    with _opened(path, saved=True) as book:
        for number, row in _rows(book[title], _Measure()):
            if number in rows:
                found.update({(number, c): cell for c, cell in enumerate(row) if (number, c) in at})
    return found


def _texts(
    sheet: Any, measure: _Measure
) -> tuple[list[tuple[int, list[str]]], dict[tuple[int, int], str], set[tuple[int, int]]]:
    """Rows with anything in them, formulas, and cells that show an error."""
    rows: list[tuple[int, list[str]]] = []
    formulas: dict[tuple[int, int], str] = {}
    errors: set[tuple[int, int]] = set()
    for number, row in _rows(sheet, measure):
        texts = []
        for column, cell in enumerate(row):
            formula = _kind(cell) == _FORMULA
            text = _formula_text(cell.value) if formula else cell_text(cell.value)
            measure.text(text, number)
            texts.append(text)
            if formula:
                formulas[number, column] = text
            elif _kind(cell) == _ERROR:
                errors.add((number, column))
        rows.append((number, texts))
    return rows, formulas, errors


def _read_sheet(path: Path, sheet: Any, measure: _Measure) -> Sheet:
    rows, formulas, errors = _texts(sheet, measure)
    header = rows[0][1] if rows and rows[0][0] == 1 else []
    saved = _saved(path, sheet.title, formulas.keys()) if formulas else {}
    flaws: list[Flaw] = []

    def name(column: int) -> str:
        return header[column].lower() if column < len(header) else ""

    texts = dict(rows)
    for (number, column), formula in formulas.items():
        cell = saved.get((number, column))
        text = cell_text(cell.value) if cell is not None else ""
        check_cell(text, number)
        if _kind(cell) == _ERROR:
            errors.add((number, column))
        if cell is None or cell.value is None:
            problem = f"the formula {formula} has no saved value"
            flaws.append(Flaw(number, name(column), formula, problem))
        else:
            texts[number][column] = text
    for number, column in errors:
        text = texts[number][column]
        flaws.append(Flaw(number, name(column), text, f'the cell holds the error "{text}"'))
    flaws.sort(key=lambda flaw: (flaw.row, flaw.column))
    return Sheet(sheet.title, tuple((n, tuple(t)) for n, t in texts.items()), tuple(flaws))


def sheet_names(path: Path) -> tuple[str, ...]:
    """Titles of all sheets.

    Raises:
        UnreadableTable: where the file is no workbook.
    """
    check_package(path)
    with _told(), _opened(path, saved=False) as book:
        return tuple(sheet.title for sheet in book.worksheets)


def read_book(path: Path, wanted: Collection[str]) -> Book:
    """A workbook's sheets whose names, in lower case, are wanted.

    Raises:
        UnreadableTable: where the file is no workbook, is damaged, or larger than any branch's.
    """
    check_package(path)
    measure = _Measure()
    with _told(), _opened(path, saved=False) as book:
        sheets = tuple(
            _read_sheet(path, sheet, measure)
            for sheet in book.worksheets
            if sheet.title.strip().lower() in wanted
        )
        return Book(tuple(sheet.title for sheet in book.worksheets), sheets)


def table_of(name: str, file: str, sheet: Sheet) -> RawTable:
    """A whole table out of a sheet.

    Raises:
        UnreadableTable: where the sheet has no header.
    """
    header, rows = split_header(filled(iter(sheet.rows)))
    return RawTable(name, file, header, tuple(rows))
