"""Words with a grammar or a list of their own."""

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


def check_people_of_record(tables: Tables, report: Report) -> None:
    """People in `hours_worked` who have left are only worth a warning: their hours stay."""
    known = tables.words("people", "person")
    if known is None:
        return
    gone: dict[str, int] = {}
    for parsed, row in tables.rows("hours_worked"):
        person = row.values.get("person")
        if person is not None and person not in known and gone.setdefault(person, 0) == 0:
            gone[person] = row.number
            report.warn(
                f"{parsed.file}, row {row.number}, column {parsed.column('person')}: "
                f"{quoted(person)} stands in no row of the table people; the hours are kept."
            )
