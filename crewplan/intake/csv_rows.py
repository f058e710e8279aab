"""Rows of a CSV file: UTF-8 with or without a byte order mark, any line ends."""

import csv
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from crewplan.intake.file_limits import CELL_CHARACTERS, COLUMNS, TABLE, TableLimits
from crewplan.intake.plain_files import CSV, check_csv
from crewplan.intake.raw_table import RawTable, Row, UnreadableTable, filled, split_header
from crewplan.model.characters import without_embeddings

_CSV_PROBLEMS = {
    "field larger": (
        f"a cell is larger than {CELL_CHARACTERS:,} characters",
        "a cell that people can read",
    ),
    "unexpected end": ("a quotation mark is opened and never closed", 'a closing "'),
    "expected after": ("a quotation mark stands inside a cell", 'it doubled (""), as CSV asks'),
}
_BYTE = re.compile("[\udc80-\udcff]")
"""A byte that is no UTF-8, as Python's surrogateescape keeps it."""


def _lines(path: Path) -> Iterator[str]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        yield from map(without_embeddings, file)


def _numbered(lines: Iterable[str], limits: TableLimits) -> Iterator[tuple[int, tuple[str, ...]]]:
    number, columns = 0, 1
    try:
        for number, cells in enumerate(csv.reader(lines, strict=True), start=1):
            if len(cells) > COLUMNS:
                problem = f"the row has {len(cells):,} cells"
                raise UnreadableTable(problem, f"at most {COLUMNS}", number)
            columns = len(cells) if number == 1 else columns
            if number > limits.rows or number * columns > limits.cells:
                most = min(limits.rows, limits.cells // columns)
                raise UnreadableTable("it goes on after this row", f"at most {most:,} rows", number)
            yield number, tuple(cell.strip() for cell in cells)
    except csv.Error as error:
        for sign, (problem, expected) in _CSV_PROBLEMS.items():
            if sign in str(error):
                raise UnreadableTable(problem, expected, number + 1) from None
        raise UnreadableTable("it cannot be read", CSV, number + 1) from None


def _row_of_bad_byte(path: Path) -> int:
    """The row in which the first byte stands that is no UTF-8."""
    number = 0
    with path.open(encoding="utf-8-sig", errors="surrogateescape", newline="") as file:
        try:
            for number, cells in enumerate(csv.reader(file), start=1):
                if any(_BYTE.search(cell) for cell in cells):
                    return number
        except csv.Error:
            return number + 1
    return max(number, 1)


def iterate(path: Path, limits: TableLimits = TABLE) -> Iterator[Row]:
    """All rows with anything in them, the header first.

    Raises:
        UnreadableTable: where the file cannot be read to its end.
    """
    check_csv(path, limits)
    try:
        yield from filled(_numbered(_lines(path), limits))
    except UnicodeDecodeError:
        row = _row_of_bad_byte(path)
        raise UnreadableTable("it holds a byte that is not UTF-8", CSV, row) from None
    except OSError as error:
        raise UnreadableTable(f"it cannot be opened ({error.strerror})", "a CSV file") from None


def read_csv(name: str, path: Path) -> RawTable:
    """A whole table.

    Raises:
        UnreadableTable: where the file cannot be read to its end.
    """
    header, rows = split_header(iterate(path))
    return RawTable(name, path.name, header, tuple(rows))
