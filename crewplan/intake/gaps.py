"""Rows with an empty cell that has no default: filled in from the package's row, or left out."""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from crewplan.intake.faults import Report
from crewplan.intake.fields import fields_of
from crewplan.intake.typed_rows import ParsedRow, ParsedTable

_FILLED = frozenset({"modules", "racking", "steps"})
"""Tables whose rows are filled in from the package's row of the same key."""
_FILLED_BY_FIRST = frozenset({"modules", "racking"})
"""Without such a row, from the package's first: planes refer to these, and need all of them."""


def where(file: str, numbers: Sequence[int]) -> str:
    """`rates.csv, row 3`, or how many rows there are and the first of them."""
    first = f"row {numbers[0]}"
    return f"{file}, {first if len(numbers) == 1 else f'{len(numbers)} rows, first in {first}'}"


def left_out(numbers: Sequence[int]) -> str:
    """What becomes of such rows."""
    return f"so that {'it is' if len(numbers) == 1 else 'they are'} left out"


def _stand_in(parsed: ParsedTable, row: ParsedRow, package: Sequence[Any]) -> Any | None:
    table = parsed.table
    key = tuple(row.values.get(name) for name in table.key)
    same = (own for own in package if tuple(getattr(own, name) for name in table.key) == key)
    return next(same, package[0] if package and table.name in _FILLED_BY_FIRST else None)


def _fill(parsed: ParsedTable, row: ParsedRow, package: Sequence[Any], report: Report) -> None:
    stand_in = _stand_in(parsed, row, package)
    if stand_in is None:
        return
    for field in fields_of(parsed.table.row):
        if field.name not in row.values:
            value = row.values[field.name] = getattr(stand_in, field.name)
            shown = f"{value:g}" if isinstance(value, float) else value
            of = getattr(stand_in, parsed.table.key[0])
            report.warn(
                f"{where(parsed.file, [row.number])}: no {field.name}, so that {shown} is assumed, "
                f"as the package has it for {of}."
            )
    row.gap = ""


def close_gaps(parsed: ParsedTable, package: Sequence[Any], report: Report) -> None:
    """Fill in or leave out each row with a gap, in place; one warning for each column.

    `package`: the package's rows of the same table.
    """
    by_column: dict[str, list[int]] = defaultdict(list)
    for row in parsed.rows:
        if row.gap and row.whole and parsed.table.name in _FILLED:
            _fill(parsed, row, package, report)
        if row.gap:
            by_column[row.gap].append(row.number)
    for column, numbers in by_column.items():
        report.warn(f"{where(parsed.file, numbers)}: no {column}, {left_out(numbers)}.")
