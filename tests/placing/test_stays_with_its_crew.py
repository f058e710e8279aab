"""A job with another crew than the one that started it costs what the setting says."""

from builders import branch, settings, stage
from one_crew_week import CREW_A, TWO_PEOPLE, choose, day, left

from crewplan.model.people_rows import Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.work_rows import HoursWorked
from crewplan.placing.started import started_by

PEOPLE = (*TWO_PEOPLE, Person("Kim", "B", "lead", 40.0), Person("Noa", "B", "installer", 30.0))
STAGES = (stage("S1"), stage("S2", kind="electrical"))


def worked(*rows):
    return tuple(HoursWorked(day(on), "S1", who, hours, "", why) for on, who, hours, why in rows)


def starters(hours=(), plan=()):
    tables = branch(people=PEOPLE, stages=STAGES, hours_worked=hours, plan=plan)
    return started_by(tables, day(3))


def test_who_worked_first_started_it_and_lost_hours_do_not_count():
    rows = worked((1, "Kim", 4.0, "travel"), (2, "Lea", 3.0, ""), (3, "Kim", 9.0, ""))
    assert starters(rows) == {"J1": "A"}


def test_of_two_crews_on_the_first_day_it_is_the_one_with_more_hours():
    rows = worked((2, "Lea", 3.0, ""), (2, "Kim", 2.0, ""), (2, "Noa", 2.0, ""))
    assert starters(rows) == {"J1": "B"}


def test_without_hours_it_is_who_was_sent_before_today():
    assert starters(plan=(PlanRow("S1", "B", day(1), "am"),)) == {"J1": "B"}
    assert starters(plan=(PlanRow("S1", "B", day(4), "am"),)) == {}
    rows = worked((2, "Lea", 3.0, ""))
    assert starters(rows, (PlanRow("S1", "B", day(1), "am"),)) == {"J1": "A"}


def test_another_crew_pays_the_price_and_the_same_one_does_not():
    found, to_place = choose(
        people=PEOPLE,
        crews=(CREW_A, Crew("B", 46.8, -92.1)),
        stages=STAGES[:1],
        hours={"S1": left(("roof", 8.0))},
        hours_worked=worked((2, "Lea", 3.0, "")),
        settings=settings(other_crew_cost=90.0),
    )
    told = {p.crew: p.cost.get("another crew", 0) for p in found.placements}
    assert told == {"A": 0, "B": 9000}
    assert "another crew" not in to_place.unplaced_cost
