"""The tables of a folder as the checks see them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from crewplan.intake.faults import Report
from crewplan.intake.typed_rows import ParsedRow, ParsedTable
from crewplan.model.tables import BY_NAME


@dataclass(frozen=True, slots=True)
class Tables:
    """The folder's own tables, and the package's rows beside them."""

    own: Mapping[str, ParsedTable]
    package: Mapping[str, tuple[Any, ...]]
    unreadable: frozenset[str]
    """Tables that are there but could not be read: nothing is held against them."""

    def words(self, table: str, column: str) -> frozenset[Any] | None:
        """All values of a column, the package's too; None where the table cannot be told."""
        if table in self.unreadable or (BY_NAME[table].required and table not in self.own):
            return None
        own = self.own.get(table)
        rows = own.rows if own is not None else ()
        found = {row.values[column] for row in rows if column in row.values}
        return frozenset(found | {getattr(row, column) for row in self.package.get(table, ())})

    def rows(self, table: str) -> Iterator[tuple[ParsedTable, ParsedRow]]:
        """Each row of a folder's table that is not left out."""
        parsed = self.own.get(table)
        if parsed is not None:
            for row in parsed.kept():
                yield parsed, row


def fault_at(
    parsed: ParsedTable,
    row: ParsedRow,
    field: str,
    expected: str,
    problem: str,
    report: Report,
) -> None:
    """A fault of one cell whose value could be read."""
    value = row.values.get(field)
    report.fault(parsed.file, row.number, parsed.column(field), str(value), expected, problem)
