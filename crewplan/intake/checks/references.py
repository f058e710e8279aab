"""Words that must stand in another table."""

from typing import Any

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.intake.typed_rows import ParsedRow, ParsedTable
from crewplan.model.tables import TABLES, Reference


def _tell(
    parsed: ParsedTable, row: ParsedRow, reference: Reference, word: str, report: Report
) -> None:
    column = parsed.column(reference.column)
    problem = f"{quoted(word)} stands in no row of the table {reference.table}"
    if reference.unknown == "fault":
        expected = f"a {reference.target} that stands there"
        report.fault(parsed.file, row.number, column, word, expected, problem)
        return
    ending = "; it is kept" if reference.unknown == "kept" else ", so that it is left out"
    if reference.unknown == "left out":
        row.gap = reference.column
    report.warn(f"{parsed.file}, row {row.number}, column {column}: {problem}{ending}.")


def _check(tables: Tables, name: str, reference: Reference, report: Report) -> None:
    known = tables.words(reference.table, reference.target)
    if known is None:
        return
    told: set[Any] = set()
    for parsed, row in tables.rows(name):
        value = row.values.get(reference.column)
        words = value if isinstance(value, tuple) else (value,)
        for word in words:
            if word and word not in known and word not in told:
                _tell(parsed, row, reference, word, report)
                if reference.unknown == "kept":  # a record of years may name one word often
                    told.add(word)


def check_references(tables: Tables, report: Report) -> None:
    """Every reference of the model's tables; an empty cell refers to nothing."""
    for table in TABLES:
        for reference in table.references:
            _check(tables, table.name, reference, report)
