"""Days of one row that cannot follow each other."""

from crewplan.intake.checks.tables import Tables, fault_at
from crewplan.intake.faults import Report, quoted

_IN_ORDER = (
    ("absences", "first_day", "last_day"),
    ("requirements", "asked_on", "granted_on"),
    ("requirements", "granted_on", "expires_on"),
    ("lead_times", "asked_on", "granted_on"),
    ("lead_times", "asked_on", "refused_on"),
)
"""Table, the day that comes first, the day that may not come before it."""


def check_times(tables: Tables, report: Report) -> None:
    """A second day that lies before the first."""
    for name, first, second in _IN_ORDER:
        for parsed, row in tables.rows(name):
            early, late = row.values.get(first), row.values.get(second)
            if early is not None and late is not None and late < early:
                problem = f"{quoted(str(late))} lies before {parsed.column(first)} {early}"
                wish = f"{early} or a later day"
                fault_at(parsed, row, second, wish, problem, report)
