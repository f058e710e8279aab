"""A table before anything is read out of its cells."""

from collections.abc import Iterator
from dataclasses import dataclass

Row = tuple[int, tuple[str, ...]]
"""Row number as a spreadsheet counts (header = 1), and the texts of its cells, stripped."""


class UnreadableTable(Exception):
    """A file or sheet that gives no rows; told in the words of a `Fault`."""

    def __init__(self, problem: str, expected: str, row: int | None = None) -> None:
        """Keep what a fault needs."""
        super().__init__(problem)
        self.problem = problem
        self.expected = expected
        self.row = row


@dataclass(frozen=True, slots=True)
class RawTable:
    """Header and rows of a table; wholly empty rows are left out but counted."""

    name: str
    file: str
    """`stages.csv`, or `branch.xlsx, sheet stages`."""
    header: tuple[str, ...]
    rows: tuple[Row, ...]


def filled(rows: Iterator[tuple[int, tuple[str, ...]]]) -> Iterator[Row]:
    """Rows with anything in them, without the empty cells at their ends."""
    for number, cells in rows:
        width = len(cells)
        while width and not cells[width - 1]:
            width -= 1
        if width:
            yield number, cells[:width]


def split_header(rows: Iterator[Row]) -> tuple[tuple[str, ...], Iterator[Row]]:
    """The header in row 1 and the rows after it.

    Raises:
        UnreadableTable: where row 1 is empty or missing, or seems to use another separator.
    """
    number, header = next(rows, (1, ()))
    if not header:
        raise UnreadableTable("it is empty", "the names of the columns in row 1")
    if number != 1:
        raise UnreadableTable("row 1 is empty", "the names of the columns in row 1", 1)
    if len(header) == 1 and any(mark in header[0] for mark in ";\t|"):
        raise UnreadableTable(
            "its columns are not separated by commas", "a comma between two columns", 1
        )
    return header, rows
