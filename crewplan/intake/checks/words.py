"""Words with a grammar or a list of their own."""

import math

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.intake.fields import fields_of
from crewplan.model.condition import parse_condition
from crewplan.model.job_rows import Job, Plane


def _choices(measure: str) -> tuple[str, ...]:
    fields = (*fields_of(Job), *fields_of(Plane))
    return next((field.choices for field in fields if field.name == measure), ())


def _wrong(text: str) -> str:
    """What a condition should have been; empty where it is one."""
    try:
        condition = parse_condition(text)
    except ValueError as bad:
        return str(bad).removeprefix("expected ")
    if isinstance(condition.value, float):
        return "" if math.isfinite(condition.value) else "a finite number after the sign"
    choices = _choices(condition.measure)
    known = not choices or condition.value in choices
    return "" if known else f"one of {', '.join(choices)} after {condition.measure}="


def check_conditions(tables: Tables, report: Report) -> None:
    """`factors.condition` as the model reads it."""
    for parsed, row in tables.rows("factors"):
        text: str = row.values.get("condition", "")
        wish = _wrong(text) if text else ""
        if wish:
            problem = f"{quoted(text)} is no condition"
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
