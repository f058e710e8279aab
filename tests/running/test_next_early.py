"""What follows a crew's day, by published rows and tables: by hand."""

from dataclasses import replace
from datetime import date

from builders import NOW, branch, job, stage

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.next_early import NextEarly
from crewplan.model.people_rows import Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.work_rows import Progress
from crewplan.running.next_early import after_visit, next_early
from crewplan.takeoff import take_off_all

MONDAY, TUESDAY, WEDNESDAY = date(2026, 5, 4), date(2026, 5, 5), date(2026, 5, 6)
FRIDAY, NEXT_MONDAY = date(2026, 5, 8), date(2026, 5, 11)
LATE, IN_TIME = date(2026, 5, 1), date(2026, 6, 1)


def _branch(*rows: PlanRow, due_on: date = LATE, **tables: object) -> Branch:
    people = {"A": ("Ada", "Bo"), "B": ("Cy", "Dee")}
    return branch(
        crews=tuple(Crew(name, 46.8, -92.1) for name in people),
        people=tuple(
            Person(name, crew, "lead" if not at else "installer", 40.0)
            for crew, names in people.items()
            for at, name in enumerate(names)
        ),
        jobs=(job("J1", due_on=IN_TIME), job("J2", due_on=due_on, address="4 Elm St")),
        stages=(
            stage("S1", job="J1"),
            stage("S2", job="J2"),
            stage("S3", job="J2", kind="electrical", after=("S2",)),
        ),
        plan=rows,
        **tables,
    )


def _next(of: Branch, day: date = MONDAY) -> dict[str, NextEarly]:
    hours = stage_hours_all(of, take_off_all(of), NOW.date())
    return next_early(of, hours, day)


def _row(name: str, day: date, crew: str = "A", half_days: int = 2, part: int = 1) -> PlanRow:
    return PlanRow(name, crew, day, part=part, half_days=half_days)


def test_a_late_job_of_the_next_day_follows_the_last_visit() -> None:
    told = _next(_branch(_row("S1", MONDAY), _row("S2", TUESDAY)))
    early = told["A"]
    assert (early.after, early.stage.stage, early.planned_on) == ("S1", "S2", TUESDAY)
    assert early.exposed
    assert after_visit(told, "A", "S1") is early
    assert after_visit(told, "A", "S2") is after_visit(told, "B", "S1") is None


def test_the_same_job_s_next_stage_follows_it_whatever_its_promise() -> None:
    told = _next(_branch(_row("S2", MONDAY), _row("S3", TUESDAY), due_on=IN_TIME))
    assert told["A"].stage.stage == "S3"
    assert not told["A"].exposed


def test_nothing_follows_what_is_not_done_that_day() -> None:
    assert _next(_branch(_row("S1", MONDAY, half_days=3), _row("S2", TUESDAY))) == {}
    parts = _row("S1", MONDAY), _row("S1", WEDNESDAY, part=2)
    assert _next(_branch(*parts, _row("S2", TUESDAY))) == {}


def test_the_second_day_of_a_visit_counts_as_well() -> None:
    rows = _row("S1", MONDAY, half_days=4), _row("S2", WEDNESDAY)
    assert _next(_branch(*rows)) == {}
    assert _next(_branch(*rows), TUESDAY)["A"].stage.stage == "S2"


def test_a_weekend_lies_between() -> None:
    told = _next(_branch(_row("S1", FRIDAY), _row("S2", NEXT_MONDAY)), FRIDAY)
    assert told["A"].planned_on == NEXT_MONDAY


def test_a_customer_with_a_day_to_come_is_left_alone() -> None:
    rows = _row("S1", MONDAY), _row("S2", TUESDAY)
    assert _next(_branch(*rows, due_on=IN_TIME)) == {}
    seen = Progress(date(2026, 5, 1), "S2", "fall_protection", 0.5)
    assert _next(_branch(*rows, due_on=IN_TIME, progress=(seen,)))["A"].stage.stage == "S2"
    assert _next(_branch(*rows, due_on=IN_TIME, progress=(replace(seen, share_done=0.0),))) == {}


def test_no_plan_and_no_visit_tell_nothing() -> None:
    assert _next(_branch()) == {}
    assert _next(_branch(_row("S2", TUESDAY))) == {}
