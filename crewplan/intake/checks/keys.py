"""Each key once."""

from typing import Any

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.intake.typed_rows import ParsedTable


def _key(parsed: ParsedTable, values: dict[str, Any]) -> tuple[Any, ...] | None:
    key = parsed.table.key
    return tuple(values[name] for name in key) if all(name in values for name in key) else None


def check_keys(tables: Tables, report: Report) -> None:
    """A key that stands in two rows; both are named."""
    for parsed in tables.own.values():
        if not parsed.table.key:
            continue
        seen: dict[tuple[Any, ...], int] = {}
        for row in parsed.kept():
            key = _key(parsed, row.values)
            if key is None:
                continue
            first = seen.setdefault(key, row.number)
            if first != row.number:
                value = ", ".join(map(str, key))
                columns = ", ".join(map(parsed.column, parsed.table.key))
                problem = f"{quoted(value)} stands in row {first} already"
                report.fault(
                    parsed.file, row.number, columns, value, f"each {columns} once", problem
                )
