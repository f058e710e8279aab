"""Cells as CSV text that a spreadsheet shows and never runs."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

from crewplan.intake.grammar import marked

_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?")


def _neutral(cell: object) -> object:
    """A text that would run gets its `'`; `-92.1` and other numbers are data."""
    if not isinstance(cell, str) or _NUMBER.fullmatch(cell):
        return cell
    return marked(cell)


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A header row and the rows, RFC 4180 quoting, lines ended by a line feed."""
    return marked_csv_text(columns, (map(_neutral, row) for row in rows))


def marked_csv_text(columns: Sequence[str], rows: Iterable[Iterable[object]]) -> str:
    """As `csv_text`, of cells that were marked by the kind of their column, to be read back."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()
