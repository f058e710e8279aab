"""Words that must stand in another table."""

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.model.tables import TABLES, Reference


def _check(tables: Tables, name: str, reference: Reference, report: Report) -> None:
    known = tables.words(reference.table, reference.target)
    if known is None:
        return
    for parsed, row in tables.rows(name):
        value = row.values.get(reference.column)
        words = value if isinstance(value, tuple) else (value,)
        for word in words:
            if word and word not in known:
                report.fault(
                    parsed.file,
                    row.number,
                    parsed.column(reference.column),
                    word,
                    f"a {reference.target} that stands there",
                    f"{quoted(word)} stands in no row of the table {reference.table}",
                )


def check_references(tables: Tables, report: Report) -> None:
    """Every reference of the model's tables; an empty cell refers to nothing."""
    for table in TABLES:
        for reference in table.references:
            _check(tables, table.name, reference, report)
