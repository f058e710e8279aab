"""A stage that is left open and taken up again: the plan, its rules, its checker, what it tells."""

from dataclasses import replace
from datetime import date, datetime
from functools import cache

import numpy as np
import pytest
from builders import NOW, plane
from small_week import (
    MONDAY,
    PROOF,
    TZ,
    calm_hours,
    choose,
    placement,
    small_branch,
    with_placement,
)
from tiny_choices import at, to_place
from tiny_choices import choose as tiny

from crewplan.model.parts import planned_parts
from crewplan.model.placement import Keep, Part
from crewplan.model.plan_row import PlanRow
from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.plan_rows import plan_rows
from crewplan.publishing.plan_text import plan_text
from crewplan.running.since_published import since_published
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan
from crewplan.scheduling.clashing_pins import clashing_pins

THURSDAY = date(2026, 5, 7)


def windy(*days, gust_mps=18.0):
    """Hours of these days of May 2026 are over the roof's limit, under the ground's."""
    calm = calm_hours()
    shut = [datetime.fromtimestamp(int(s), TZ).day in days for s in calm.valid_s]
    return replace(calm, gust_mps=np.where(shut, gust_mps, calm.gust_mps))


@cache
def tables(*days, **settings):
    """The small week with a larger second roof, published for Monday and Tuesday."""
    rows = {"J1": (6, 5), "J2": (9, 8), "J3": (6, 5)}
    return replace(
        small_branch(),
        weather=windy(*days),
        planes=tuple(plane(job=job, rows=of) for job, of in rows.items()),
        settings=replace(small_branch().settings, **settings),
    )


@cache
def choices_of(*days, **settings):
    return choose(tables(*days, **settings))


@cache
def plan_of(*days, **settings):
    return schedule(choices_of(*days, **settings), stop=PROOF)


def faults(plan=None, of=None):
    return check_plan(of or tables(5, 6), choices_of(5, 6), plan or plan_of(5, 6), NOW)


def corrupted(**changes):
    return with_placement(plan_of(5, 6), "S3", **changes)


S3 = placement(plan_of(5, 6), "S3")
FIRST, SECOND = S3.parts


def test_the_roof_that_began_on_monday_is_left_for_two_windy_days_and_finished_on_thursday():
    assert S3.part_starts == (0, 6)
    assert S3.lost_h == 0
    assert faults() == ()


def test_without_leaving_jobs_open_the_same_week_is_dearer():
    never = plan_of(5, 6, open_jobs_max=0)
    assert not any(p.placement.parts for p in never.planned)
    assert placement(never, "S3").lost_h > 30
    assert plan_of(5, 6).objective < never.objective


@pytest.mark.parametrize("cost", [0.0, 75.0])
def test_in_always_good_weather_nothing_is_left_open_and_nothing_is_dearer(cost):
    plan = plan_of(open_day_cost=cost)
    assert not any(p.placement.parts for p in plan.planned)
    assert plan.objective == plan_of(open_jobs_max=0).objective


def test_left_open_for_much_money_a_day_it_is_not():
    assert not placement(plan_of(5, 6, open_day_cost=5000.0), "S3").parts


def test_both_engines_find_the_same_price():
    found = schedule(choices_of(5, 6), engine="cp-sat", stop=PROOF)
    assert found.objective == plan_of(5, 6).objective


def test_the_plan_tells_both_parts():
    plan = plan_of(5, 6)
    told = [one for one in plan_json(plan, "now")["placements"] if one["stage"] == "S3"]
    assert [(one["part"], one["parts"], one["start_on"]) for one in told] == [
        (1, 2, "2026-05-04"),
        (2, 2, "2026-05-07"),
    ]
    whole = plan_json(plan, "now")
    costs = sum(one["cost"] for one in whole["placements"] + whole["unplaced"])
    assert costs == pytest.approx(whole["objective"])
    assert "part 2 of 2" in plan_text(tables(5, 6), plan, "")
    rows = [row for row in plan_rows(plan) if row.stage == "S3"]
    assert [(row.part, row.start_on, row.half_days) for row in rows] == [
        (1, MONDAY, 2),
        (2, THURSDAY, 3),
    ]


def test_what_is_published_in_parts_is_as_published_the_same_evening():
    plan = plan_of(5, 6)
    branch = replace(tables(5, 6), plan=plan_rows(plan))
    again = schedule(choose(branch), stop=PROOF)
    assert since_published(branch, again) == ()
    assert "move" not in again.parts
    assert [len(p.placement.parts) for p in again.planned if p.placement.stage == "S3"] == [2]


def test_a_second_part_on_another_day_is_a_move_that_the_customer_hears_of():
    plan = plan_of(5, 6)
    rows = tuple(
        replace(row, start_on=date(2026, 5, 8)) if (row.stage, row.part) == ("S3", 2) else row
        for row in plan_rows(plan)
    )
    moves = since_published(replace(tables(5, 6), plan=rows), plan)
    assert [(m.stage, m.before.back_on, m.after.back_on, m.customer_hears) for m in moves] == [
        ("S3", date(2026, 5, 8), THURSDAY, True)
    ]


def drop(part, name):
    return replace(part, cost={k: v for k, v in part.cost.items() if k != name})


BROKEN = {
    "parts: S3 is broken off and never": corrupted(cells=FIRST.cells, parts=(FIRST,)),
    "parts: those of S3 are not its half-days": corrupted(
        parts=(FIRST, replace(SECOND, cells=SECOND.cells[1:]))
    ),
    "parts: the crew never leaves S3": corrupted(
        cells=(0, 1, 2), parts=(FIRST, replace(SECOND, cells=(2,)))
    ),
    "are not all of S3": corrupted(parts=(replace(FIRST, labour_p50_h=1.0), SECOND)),
    "people of a part": corrupted(parts=(replace(FIRST, people=("Ada",)), SECOND)),
    "cents for left open, not 15000": corrupted(cost={**S3.cost, "left open": 0}),
    "cents for set-up again": corrupted(cost={**S3.cost, "set-up again": 0}),
    "the drives of S3 cost": corrupted(cost={**S3.cost, "travel": 2 * S3.cost["travel"] // 3}),
    "left open of the parts of S3": corrupted(parts=(FIRST, drop(SECOND, "left open"))),
    "half-days: S3 jumps over": corrupted(parts=()),
    "hours lost in the parts": corrupted(lost_h=5.0),
}


@pytest.mark.parametrize("words", BROKEN)
def test_the_checker_names_what_is_wrong_with_the_parts(words):
    assert any(words in fault for fault in faults(BROKEN[words]))


def test_the_checker_holds_a_crew_to_its_open_jobs():
    strict = replace(tables(5, 6), settings=replace(tables(5, 6).settings, open_jobs_max=0))
    assert any("open jobs: crew South has left S3 open" in fault for fault in faults(of=strict))


def test_the_checker_wants_a_frozen_second_part_where_it_was_published():
    rows = (
        PlanRow("S3", "South", MONDAY, "am", 1, 2),
        PlanRow("S3", "South", date(2026, 5, 8), "am", 2, 2, pinned=True),
    )
    found = faults(of=replace(tables(5, 6), plan=rows))
    assert "pin moved: S3 was published with crew South on 2026-05-08 am" in found


def in_two(stage, crew, before, after, cents=1000):
    whole = at(stage, crew, *before, *after, cents=cents)
    parts = (
        Part(before, whole.people, 4.0, 4.5, 0.0, {}),
        Part(after, whole.people, 4.0, 4.5, 0.0, whole.cost),
    )
    return replace(whole, parts=parts)


def test_a_crew_leaves_one_job_open_at_a_time():
    offers = [in_two("S1", "North", (0,), (4,)), in_two("S2", "North", (1,), (5,))]
    plan = schedule(tiny([to_place("S1"), to_place("S2")], offers), stop=PROOF)
    assert [p.placement.stage for p in plan.planned] == ["S1"]
    told = plan.unplaced[0].reasons
    assert [r.detail for r in told] == ["these crews would leave too many jobs open: North (S1)"]
    two = schedule(tiny([to_place("S1"), to_place("S2")], offers, open_jobs_max=2), stop=PROOF)
    assert len(two.planned) == 2


def test_a_job_left_open_before_counts():
    stages = [to_place("S1"), to_place("S2", left_open_by="North")]
    plan = schedule(tiny(stages, [in_two("S1", "North", (0,), (4,))]), stop=PROOF)
    assert plan.planned == ()


def test_a_published_stage_that_would_be_one_too_many_left_open_gives_way():
    """The job left open before is of a stage that stays nowhere, and counts all the same."""
    keep = Keep("North", 0, pinned=False)
    stages = [to_place("S1", keep=keep), to_place("S2", left_open_by="North")]
    offers = [in_two("S1", "North", (0,), (4,)), at("S1", "South", 2, 3)]
    plan = schedule(tiny(stages, offers), stop=PROOF)
    assert [(p.placement.stage, p.placement.crew) for p in plan.planned] == [("S1", "South")]
    clash = clashing_pins(tiny(stages, offers), plan=plan)
    assert clash is not None
    assert "too many jobs open" in clash.told


def test_the_crew_works_elsewhere_in_between_and_what_follows_waits_for_the_last_part():
    offers = [
        in_two("S1", "North", (0,), (4,)),
        at("S2", "North", 1, 2),
        *(at("S3", "South", cell, cents=100 + cell) for cell in range(6)),
    ]
    stages = [to_place("S1"), to_place("S2"), to_place("S3", after=("S1",))]
    plan = schedule(tiny(stages, offers), stop=PROOF)
    found = {p.placement.stage: p.placement.cells for p in plan.planned}
    assert found == {"S1": (0, 4), "S2": (1, 2), "S3": (5,)}


def test_a_second_part_that_stays_has_no_column_elsewhere():
    offers = [in_two("S1", "North", (0,), (3,), 500), in_two("S1", "North", (0,), (4,), 900)]
    stage = to_place("S1", keep=Keep("North", 0, pinned=False, again=4))
    plan = schedule(tiny([stage], offers), stop=PROOF)
    assert [p.placement.part_starts for p in plan.planned] == [(0, 4)]


def test_the_rule_of_thumb_leaves_nothing_open():
    offers = [in_two("S1", "North", (0,), (4,)), at("S1", "North", 1, 2, cents=9000)]
    plan = schedule(tiny([to_place("S1")], offers), stop=PROOF)
    assert (plan.objective, plan.rule_of_thumb) == (1000, 9000)


def test_every_stage_in_one_go_is_its_own_only_part():
    told = list(planned_parts(plan_of().planned))
    assert {(part.number, part.of, part.words) for part in told} == {(1, 1, "")}
