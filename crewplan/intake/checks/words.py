"""Words with a grammar of their own."""

from crewplan.intake.checks.tables import Tables, fault_at
from crewplan.intake.faults import Report, quoted
from crewplan.model.condition import parse_condition


def check_conditions(tables: Tables, report: Report) -> None:
    """`factors.condition` as the model reads it; brought to one form, since it is part of a key."""
    for parsed, row in tables.rows("factors"):
        text: str = row.values.get("condition", "")
        if not text:
            continue
        try:
            row.values["condition"] = parse_condition(text).text
        except ValueError as bad:
            wish = str(bad).removeprefix("expected ")
            fault_at(parsed, row, "condition", wish, f"{quoted(text)} is no condition", report)
