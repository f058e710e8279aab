"""Words with a grammar of their own."""

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.model.condition import parse_condition


def check_conditions(tables: Tables, report: Report) -> None:
    """`factors.condition` as the model reads it."""
    for parsed, row in tables.rows("factors"):
        text: str = row.values.get("condition", "")
        try:
            parse_condition(text)
        except ValueError as bad:
            if text:
                wish, problem = (
                    str(bad).removeprefix("expected "),
                    f"{quoted(text)} is no condition",
                )
                column = parsed.column("condition")
                report.fault(parsed.file, row.number, column, text, wish, problem)
