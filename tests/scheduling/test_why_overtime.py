"""`why` of a stage that longer days would let in: it names overtime, and solving again agrees."""

from dataclasses import replace
from datetime import timedelta
from functools import cache

from builders import NOW, job, plane, stage
from small_week import MONDAY, PROOF, small_branch
from why_cases import prove

from crewplan.labour import stage_hours_all
from crewplan.model.horizon import Horizon
from crewplan.model.material_rows import Stock
from crewplan.placing import all_choices
from crewplan.publishing.why_text import why_json, why_text
from crewplan.running.clock import read_clock
from crewplan.running.week import Week
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan
from crewplan.takeoff import take_off_all


@cache
def one_day(overtime_max_h=0.0, only_day=True, drive_h=0.0, modules=14):
    """A crew of two and one roof of 20 person-hours, 24 to be sure enough; the day holds 17."""
    tables = small_branch()
    north = replace(tables.crews[0], base_latitude=46.8 + drive_h * 50 / 1.3 / 111.195)
    tables = replace(
        tables,
        settings=replace(tables.settings, overtime_max_h=overtime_max_h),
        crews=(north,),
        people=tables.people[:2],
        jobs=(job(authority="Hill", customer_days=((MONDAY, MONDAY),) if only_day else ()),),
        planes=(plane(rows=(modules,)),),
        stages=(stage("S1"),),
        stock=(Stock("flashing", 999.0),),
        plan=(),
    )
    takeoffs = take_off_all(tables)
    hours = stage_hours_all(tables, takeoffs, MONDAY - timedelta(days=1))
    choices = all_choices(tables, Horizon((MONDAY,), frozenset()), takeoffs, hours, NOW)
    clock = read_clock(tables.settings, NOW)
    return Week(tables, clock, takeoffs, hours, choices, schedule(choices, stop=PROOF))


def test_why_names_overtime_where_longer_days_alone_let_the_stage_in():
    week = one_day()
    answer = week.why("S1")
    kept = answer.kept_out
    assert kept.rules == ("overtime",)
    assert kept.placement.overtime_h > 0
    assert prove(week, "S1", kept).holds
    assert not prove(week, "S1", replace(kept, rules=("horizon",))).holds
    text = why_text(week.branch, week.plan.horizon, answer, "")
    detail = "crew North could with 3 h of overtime a day; overtime_max_h allows 0"
    assert f"overtime: {detail}" in text
    assert "Kept out by the limit of overtime alone: without that, it would go to North" in text
    assert "2026-05-04: horizon, the limit of overtime" in text
    told = why_json(week.plan.horizon, answer, "now")
    assert told["kept_out"]["rules"] == ["overtime"]
    assert ("overtime", detail) in [(r["kind"], r["detail"]) for r in told["reasons"]]


def test_what_was_told_is_enough_and_half_an_hour_less_is_not():
    week = one_day(3.0)
    assert week.plan.planned
    assert check_plan(week.branch, week.choices, week.plan, NOW) == ()
    (reason,) = [r for r in one_day(2.5).plan.unplaced[0].reasons if r.kind == "overtime"]
    assert reason.detail == "crew North could with 3 h of overtime a day; overtime_max_h allows 2.5"


def test_where_another_rule_lets_it_in_for_less_that_one_is_named():
    """The next day would do as well, without anybody working late."""
    assert one_day(only_day=False).why("S1").kept_out.rules == ("horizon",)


def test_drives_longer_than_the_shift_are_made_with_overtime_and_the_checker_passes_it():
    week = one_day(5.0, drive_h=4.5, modules=2)
    (planned,) = week.plan.planned
    assert planned.placement.overtime_h > 0
    assert check_plan(week.branch, week.choices, week.plan, NOW) == ()
