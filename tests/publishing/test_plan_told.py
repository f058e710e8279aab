"""A plan as JSON and as text."""

import json
from dataclasses import replace
from datetime import date, timedelta

from board_views import one_job_view

from crewplan.model.placement import Reason
from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.plan_rows import plan_rows
from crewplan.publishing.plan_text import plan_text

LEFT = Reason("pin", "published with crew Birch on 2026-05-04 am: permit: open", date(2026, 5, 4))


def moved_plan():
    view = one_job_view()
    (planned,) = view.plan.planned
    return view.branch, replace(view.plan, planned=(replace(planned, left_its_place=(LEFT,)),))


def test_the_json_has_every_name_of_the_contract_and_no_empty_numbers():
    _, plan = moved_plan()
    told = json.loads(json.dumps(plan_json(plan, "set by hand"), allow_nan=False))
    assert {
        "objective", "bound", "gap", "engine", "rule_of_thumb", "parts", "clock", "placements",
        "unplaced", "done",
    } <= set(told)  # fmt: skip
    (placement,) = told["placements"]
    assert {
        "stage", "part", "parts", "job", "crew", "people", "lead", "start_on", "start_half",
        "half_days", "cells", "firm", "labour_p50_h", "labour_p80_h", "lost_h", "p_go", "p_ready",
        "p_finish", "cost",
    } <= set(placement)  # fmt: skip
    assert placement["cells"][0] == [placement["start_on"], placement["start_half"]]
    assert len(placement["cells"]) == placement["half_days"]


def test_why_a_published_stage_left_its_place_is_told_in_json_and_text():
    branch, plan = moved_plan()
    (placement,) = plan_json(plan, "now")["placements"]
    assert placement["left_its_place"] == [
        {"kind": "pin", "detail": LEFT.detail, "from": "2026-05-04", "until": None}
    ]
    assert f"S1 left its place: pin: {LEFT.detail}" in plan_text(branch, plan, "")


def test_a_plan_table_keeps_the_pins_and_what_is_running_today():
    _, plan = moved_plan()
    (fresh,) = plan_rows(plan)
    pinned = replace(fresh, pinned=True)
    today = replace(fresh, stage="S9", start_on=date(2026, 5, 1))
    assert plan_rows(plan, (pinned, today)) == (today, pinned)


def test_a_pin_that_could_not_hold_is_not_carried_to_another_place():
    _, plan = moved_plan()
    (fresh,) = plan_rows(plan)
    elsewhere = replace(fresh, crew="B", pinned=True)
    assert plan_rows(plan, (elsewhere,)) == (fresh,)


def test_what_was_published_after_the_days_planned_stays_published():
    _, plan = moved_plan()
    (fresh,) = plan_rows(plan)
    later = replace(fresh, stage="S9", start_on=plan.horizon.days[-1] + timedelta(days=9))
    assert plan_rows(plan, (later,)) == (fresh, later)
    within = replace(fresh, stage="S9", start_on=plan.horizon.days[-1])
    assert plan_rows(plan, (within,)) == (fresh,)
