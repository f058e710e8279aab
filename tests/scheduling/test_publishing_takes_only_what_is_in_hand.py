"""Nothing is published into the frozen days while anything that it needs is missing."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from builders import NOW
from small_week import MONDAY, calm_hours, requirements, small_branch

from crewplan.model.material_rows import Arrival, Stock
from crewplan.model.people_rows import Certificate
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import LeadTime, Requirement
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.clock import Clock
from crewplan.running.week import plan_week

CLOCK = Clock(NOW, "set by hand")
FROZEN = (date(2026, 5, 3), MONDAY)
"""Sunday evening, one working day frozen."""
TODAY = date(2026, 5, 3)
SWIFT = tuple(
    LeadTime("permit", date(2026, 1, 5), "Hill", date(2026, 1, 5) + timedelta(days=days))
    for days in (1, 1, 1, 1, 1, 1, 1, 1, 1, 90)
)
"""Nine of ten are there the next day."""


def waiting_for_a_permit(**changes):
    rows = tuple(
        Requirement(row.job, "permit", "asked", TODAY)
        if (row.job, row.kind) == ("J2", "permit")
        else row
        for row in requirements("J1", "J2")
    )
    return replace(small_branch(), requirements=rows, lead_times=SWIFT, **changes)


def published(tables):
    week = plan_week(tables, CLOCK, publishing=True)
    return week, plan_rows(week.plan, tables.plan)


@pytest.mark.parametrize("plan", [small_branch().plan, (), None])
def test_a_permit_that_is_only_likely_is_published_after_the_frozen_days(plan):
    tables = waiting_for_a_permit(plan=plan or ())
    if plan is None:  # no plan was ever published
        tables = replace(tables, present=tables.present - {"plan"})
    week, rows = published(tables)
    starts = {row.stage: row.start_on for row in rows}
    assert starts["S3"] not in FROZEN
    told = week.why("S3")
    assert told.planned is not None
    stage = next(s for s in week.choices.stages if s.stage == "S3")
    assert any("permit: asked" in reason.detail for reason in stage.reasons)
    assert all(
        p.firm for p in week.plan.planned if week.plan.horizon.day_of(p.placement.start) in FROZEN
    )


def test_what_was_published_for_a_frozen_day_leaves_it_naming_the_permit():
    week, _ = published(waiting_for_a_permit(plan=(PlanRow("S3", "South", MONDAY, "am", 1, 4),)))
    moved = next(p for p in week.plan.planned if p.placement.stage == "S3")
    (reason,) = moved.left_its_place
    assert reason.kind == "pin"
    assert "permit: asked" in reason.detail


def test_even_a_pin_does_not_hold_a_frozen_day_without_its_permit():
    pinned = PlanRow("S3", "South", MONDAY, "am", 1, 4, pinned=True)
    week, rows = published(waiting_for_a_permit(plan=(pinned,)))
    assert {row.start_on for row in rows if row.stage == "S3"}.isdisjoint(FROZEN)
    stage = next(s for s in week.choices.stages if s.stage == "S3")
    assert any(r.kind == "pin" and "permit: asked" in r.detail for r in stage.reasons)


MISSING = {
    "flashing": {
        "stock": (Stock("flashing", 0.0),),
        "arrivals": (Arrival("flashing", 500.0, MONDAY),),
    },
    "electrician": {
        "certificates": (Certificate("Di", "electrician", date(2026, 5, 3)),),
        "stages": tuple(
            replace(row, certificates=("electrician",)) if row.stage == "S3" else row
            for row in small_branch().stages
        ),
    },
    "boom": {"equipment": tuple(
        replace(row, service_due_on=TODAY) for row in small_branch().equipment
    )},
    "permit": {"requirements": tuple(
        replace(row, expires_on=TODAY) if row.kind == "permit" else row
        for row in requirements("J1", "J2")
    )},
}  # fmt: skip


@pytest.mark.parametrize("word", MISSING)
def test_whatever_is_missing_is_named_and_keeps_the_stage_out_of_the_frozen_days(word):
    tables = replace(small_branch(), weather=calm_hours(), **MISSING[word])
    week, rows = published(tables)
    assert {row.start_on for row in rows if row.stage == "S3"}.isdisjoint(FROZEN)
    stage = next(s for s in week.choices.stages if s.stage == "S3")
    assert any(reason.kind == "pin" and word in reason.detail for reason in stage.reasons)
