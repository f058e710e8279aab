"""A plan that passes, corrupted in one way at a time: the checker names each.

Placements of the week: see small_week.py; S3 is frozen on Monday morning with crew South.
"""

from dataclasses import replace
from datetime import date

import pytest
from builders import NOW
from small_week import (
    MONDAY,
    PROOF,
    TUESDAY,
    WEDNESDAY,
    calm_hours,
    choose,
    placement,
    requirements,
    small_branch,
    small_choices_of_week,
    small_plan,
    with_placement,
)

from crewplan.model.material_rows import Stock
from crewplan.model.people_rows import Absence
from crewplan.model.plan_row import PlanRow
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan


def violations(plan=None, tables=None):
    return check_plan(tables or small_branch(), small_choices_of_week(), plan or small_plan(), NOW)


def tables(**changes):
    return replace(small_branch(), **changes)


def requirement_state(state):
    return tuple(
        replace(row, state=state, granted_on=None) if row.kind == "permit" else row
        for row in requirements("J1", "J2")
    )


def changed_job(**changes):
    return tuple(replace(job, **changes) if job.job == "J1" else job for job in small_branch().jobs)


def moved(name, *cells, **changes):
    return with_placement(small_plan(), name, cells=cells, **changes)


def settings(**changes):
    return replace(small_branch().settings, **changes)


def test_the_week_places_what_is_ready_and_passes():
    plan = small_plan()
    assert [p.placement.stage for p in plan.planned] == ["S3", "S1", "S4", "S2", "S5", "S6"]
    assert violations() == ()


S1 = placement(small_plan(), "S1")
THURSDAY = date(2026, 5, 7)

CORRUPTED_PLANS = {
    "overlap": moved("S2", *S1.cells),
    "wrong order": moved("S2", 0, 1),
    "wrong order: S4 starts 1 days": moved("S4", 4, 5),
    "wrong order: S5 is placed, S2": replace(
        small_plan(),
        planned=tuple(p for p in small_plan().planned if p.placement.stage != "S2"),
    ),
    "equipment twice": moved("S1", 2, 3, 4),
    "frozen day moved": moved("S3", 1, 2, 3),
    "frozen day moved: S3": moved("S3", 0, 1, 2, crew="North"),
    "stage twice": replace(small_plan(), planned=(*small_plan().planned, small_plan().planned[-1])),
    "stage lost": replace(small_plan(), unplaced=()),
    "no reason": replace(small_plan(), unplaced=(replace(small_plan().unplaced[0], reasons=()),)),
    "unknown stage": moved("S1", *S1.cells, stage="S99"),
    "outside": moved("S1", *S1.cells, crew="West"),
    "outside: S1": moved("S1", 19, 20),
    "absent lead": moved("S1", *S1.cells, lead="Bo"),
    "people": moved("S1", *S1.cells, people=("Ada",)),
    "half-days": moved("S1", 4, 6, 7),
    "half-days: those of S1": moved("S1", 5, 4, 6),
    "price": replace(small_plan(), objective=small_plan().objective - 1),
    "price: S1": moved("S1", *S1.cells, cost={"travel": 1}),
    "price: the bound": replace(small_plan(), bound=small_plan().objective + 1),
    "price: a part": replace(small_plan(), parts={"travel": small_plan().objective}),
    "price: leaving": replace(small_plan(), unplaced=(replace(small_plan().unplaced[0], cents=1),)),
    f"price: {small_plan().objective} is dearer": replace(small_plan(), rule_of_thumb=0),
    "inspections": moved("S6", 8),
    "not ready: S1 is said": moved("S1", *S1.cells, p_ready=1.1),
    "no-go lift: S1 does not reach": moved("S1", *S1.cells, p_finish=0.5),
    "no-go lift: S1 is likelier": moved("S1", *S1.cells, p_go=0.8),
    "drive: S5 shares one with S6": with_placement(small_plan(), "S5", with_visit="S6"),
    "drive: S5 takes": with_placement(small_plan(), "S5", short_h=0.5),
    "price: the drives of S2": with_placement(small_plan(), "S2", cost={"travel": 500}),
    "price: S2 carries 1 cents for the worst": with_placement(
        small_plan(), "S2", cost={"worst weathers": 1}
    ),
    "overtime: S1 takes": with_placement(small_plan(), "S1", overtime_h=1.0),
    "price: overtime of S1": with_placement(small_plan(), "S1", cost={"overtime": 400}),
    "price: S1 carries 1 cents for another crew": with_placement(
        small_plan(), "S1", cost={"another crew": 1}
    ),
    "done": replace(small_plan(), done=("S1",)),
}

BROKEN_TABLES = {
    "refused: S1 needs permit": tables(requirements=requirement_state("refused")),
    "open: S1 needs permit": tables(requirements=requirement_state("open")),
    "not ready: S3": tables(requirements=requirement_state("asked")),
    "certificate: nobody on S2 holds electrician": tables(
        certificates=tuple(replace(row, expires_on=TUESDAY) for row in small_branch().certificates)
    ),
    "stock overdrawn: 48 flashing by 2026-05-06, there are 30": tables(
        stock=(Stock("flashing", 30.0),)
    ),
    "equipment twice: 1 x boom": tables(equipment=()),
    "equipment in service: boom is used on": tables(
        equipment=tuple(replace(row, service_due_on=MONDAY) for row in small_branch().equipment)
    ),
    "equipment in service: boom is used on 2026-05-06": tables(
        equipment=tuple(
            replace(row, in_service=((WEDNESDAY, WEDNESDAY),)) for row in small_branch().equipment
        )
    ),
    "equipment in service: that of crew North is overdue": tables(
        crews=tuple(
            replace(row, equipment=("boom",), equipment_due_on=TUESDAY)
            for row in small_branch().crews
        )
    ),
    "lapsed: S1 needs permit, good until 2026-05-05": tables(
        requirements=tuple(
            replace(row, expires_on=TUESDAY) if row.kind == "permit" else row
            for row in requirements("J1", "J2")
        )
    ),
    "too few people: 1 of 2 on S1 on 2026-05-06": tables(
        people=tuple(
            replace(row, role="trainee") if row.person == "Bo" else row
            for row in small_branch().people
        ),
        settings=settings(trainees_count=False),
    ),
    "day off: S1 works on 2026-05-06": tables(settings=settings(closed_on=(WEDNESDAY,))),
    "day off: the whole crew North": tables(
        absences=(Absence("Ada", WEDNESDAY), Absence("Bo", WEDNESDAY))
    ),
    "absent lead: Ada does not lead S1": tables(absences=(Absence("Ada", WEDNESDAY),)),
    "too few people: 1 of 2 on S1": tables(absences=(Absence("Bo", WEDNESDAY, WEDNESDAY),)),
    "customer's days: S1 works on": tables(jobs=changed_job(customer_days=((MONDAY, TUESDAY),))),
    "too early: S1 starts before": tables(jobs=changed_job(earliest_on=date(2026, 5, 12))),
    "pin moved: S1": tables(
        plan=(*small_branch().plan, PlanRow("S1", "South", THURSDAY, "am", pinned=True))
    ),
    "notice: S5": tables(
        authorities=tuple(replace(row, notice_days=8) for row in small_branch().authorities)
    ),
    # 13 m/s is above the lift's 11.6 and below the roof's 15.6
    "no-go lift: S1 claims 1.00, the hours are open for it in 0.00": tables(
        weather=calm_hours(gust_mps=13.0)
    ),
    # 16 m/s shuts the roof too
    "no-go lift: S3 claims": tables(weather=calm_hours(gust_mps=16.0)),
}


@pytest.mark.parametrize("word", CORRUPTED_PLANS)
def test_a_corrupted_plan_is_rejected_with_the_right_word(word):
    assert any(told.startswith(word) for told in violations(plan=CORRUPTED_PLANS[word]))


@pytest.mark.parametrize("word", BROKEN_TABLES)
def test_a_plan_that_the_tables_do_not_bear_is_rejected_with_the_right_word(word):
    assert any(told.startswith(word) for told in violations(tables=BROKEN_TABLES[word]))


def test_a_placement_that_waits_for_something_is_not_firm():
    ungranted = with_placement(small_plan(), "S1", granted=False)
    assert any(told.startswith("not firm: S1") for told in violations(plan=ungranted))


def test_a_half_day_that_has_begun_takes_nothing_new():
    noon = NOW.replace(day=6, hour=18)
    told = check_plan(small_branch(), small_choices_of_week(), small_plan(), noon)
    assert any(line.startswith("too early: 2026-05-06 am of S1 has begun") for line in told)


def test_short_visits_share_a_half_day_only_as_far_as_their_time_goes():
    for hours, fine in ((2.0, True), (2.2, False)):
        plan = with_placement(small_plan(), "S5", short_h=hours, crew="North", cells=(9,))
        plan = with_placement(plan, "S6", short_h=hours, crew="North", cells=(9,))
        told = [line for line in violations(plan=plan) if line.startswith("overlap")]
        assert (told == []) is fine


def test_a_roof_is_no_short_visit():
    plan = with_placement(small_plan(), "S1", short_h=1.0)
    assert any(told.startswith("overlap: S1 is no short visit") for told in violations(plan=plan))


def test_what_was_published_may_leave_with_a_reason():
    """South's lead is ill on Monday: S3 leaves its frozen day, and the choices say why."""
    ill = tables(absences=(Absence("Cy", MONDAY, MONDAY),))
    choices = choose(ill)
    plan = schedule(choices, stop=PROOF)
    assert check_plan(ill, choices, plan, NOW) == ()
    stage = next(s for s in choices.stages if s.stage == "S3")
    assert [r.kind for r in stage.reasons if r.kind == "pin"] == ["pin"]


def test_uneven_hours_are_priced_as_the_tables_have_them():
    """The same week at 6.00 an hour between the crews: the price told is recounted."""
    uneven = tables(settings=settings(uneven_hour_cost=6.0))
    choices = choose(uneven)
    plan = schedule(choices, stop=PROOF)
    assert plan.parts["uneven hours"] > 0
    assert check_plan(uneven, choices, plan, NOW) == ()
    told = {**plan.parts, "uneven hours": plan.parts["uneven hours"] - 10}
    cheaper = replace(plan, parts=told, objective=plan.objective - 10, bound=0)
    assert any(line.startswith("price") for line in check_plan(uneven, choices, cheaper, NOW))
    apart = {}
    for name, found in (("free", small_plan()), ("priced", plan)):
        hours = {"North": 0.0, "South": 0.0}
        for p in found.planned:
            hours[p.placement.crew] += p.placement.short_h or 4.25 * len(p.placement.cells)
        apart[name] = abs(hours["North"] - hours["South"])
    assert apart["priced"] <= apart["free"]
