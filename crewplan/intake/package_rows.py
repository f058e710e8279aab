"""The package's own rows, and how a folder's rows take their place."""

from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

from crewplan.intake import limit_units
from crewplan.intake.csv_rows import read_csv
from crewplan.intake.faults import Report
from crewplan.intake.typed_rows import typed_rows
from crewplan.model.tables import BY_NAME, TABLES

PACKAGE_TABLES: tuple[str, ...] = (*(t.name for t in TABLES if t.package_rows), "limits")
"""Tables of which the package has rows; those of limits stay apart for the gate."""

_REPLACED_BY: dict[str, str] = {"rates": "step"}
"""Where a folder's row stands in for all package rows of a column's value, not of the key."""
_FOLDER_FIRST = frozenset({"racking"})
"""Where the order of rows has a meaning, a folder's come first."""


@cache
def package_rows(name: str) -> tuple[Any, ...]:
    """The package's rows of a table, held to the same rules as a folder's.

    Raises:
        InputFaults: where the package itself is at fault.
    """
    path = Path(str(resources.files("crewplan.intake"))) / "defaults" / f"{name}.csv"
    report = Report()
    raw = read_csv(name, path)
    if name == "limits":
        raw = limit_units.fill_in(raw)
    parsed = typed_rows(BY_NAME[name], raw, report)
    if name == "limits":
        limit_units.to_canonical(parsed, report)
    report.raise_if_faulty()
    return parsed.build()


def merged(name: str, own: tuple[Any, ...]) -> tuple[Any, ...]:
    """The package's rows with a folder's in their place, new ones after them."""
    by = (_REPLACED_BY[name],) if name in _REPLACED_BY else BY_NAME[name].key

    def key(row: Any) -> tuple[Any, ...]:
        return tuple(getattr(row, column) for column in by)

    replaced = {key(row) for row in own}
    package = tuple(row for row in package_rows(name) if key(row) not in replaced)
    return (*own, *package) if name in _FOLDER_FIRST else (*package, *own)
