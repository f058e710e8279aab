"""Rows of a CSV file: UTF-8 with or without a byte order mark, any line ends."""

import csv
from collections.abc import Iterable, Iterator
from pathlib import Path

from crewplan.intake.raw_table import RawTable, Row, UnreadableTable, filled, split_header

_UTF8 = "text saved as CSV in UTF-8"
_CSV_PROBLEMS = {
    "field larger": ("a cell is larger than 131,072 characters", "a cell that people can read"),
    "unexpected end": ("a quotation mark is opened and never closed", 'a closing "'),
    "expected after": ("a quotation mark stands inside a cell", 'it doubled (""), as CSV asks'),
}


def _lines(path: Path) -> Iterator[str]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        for line in file:
            if "\0" in line:
                raise UnreadableTable("it is not a text file", _UTF8)
            yield line


def _numbered(lines: Iterable[str]) -> Iterator[tuple[int, tuple[str, ...]]]:
    number = 0
    try:
        for number, cells in enumerate(csv.reader(lines, strict=True), start=1):
            yield number, tuple(cell.strip() for cell in cells)
    except csv.Error as error:
        for sign, (problem, expected) in _CSV_PROBLEMS.items():
            if sign in str(error):
                raise UnreadableTable(problem, expected, number + 1) from None
        raise UnreadableTable("it cannot be read", _UTF8, number + 1) from None


def _row_of_bad_byte(path: Path) -> int:
    """The row in which the first byte stands that is no UTF-8."""
    data = path.read_bytes()
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig") + "x"
        return sum(1 for _ in csv.reader(before.splitlines(keepends=True)))
    return 1


def iterate(path: Path) -> Iterator[Row]:
    """All rows with anything in them, the header first.

    Raises:
        UnreadableTable: where the file cannot be read to its end.
    """
    try:
        yield from filled(_numbered(_lines(path)))
    except UnicodeDecodeError:
        row = _row_of_bad_byte(path)
        raise UnreadableTable("it holds a byte that is not UTF-8", _UTF8, row) from None
    except IsADirectoryError:
        raise UnreadableTable("it is a folder", "a CSV file") from None
    except OSError as error:
        raise UnreadableTable(f"it cannot be opened ({error.strerror})", "a CSV file") from None


def read_csv(name: str, path: Path) -> RawTable:
    """A whole table.

    Raises:
        UnreadableTable: where the file cannot be read to its end.
    """
    header, rows = split_header(iterate(path))
    return RawTable(name, path.name, header, tuple(rows))
