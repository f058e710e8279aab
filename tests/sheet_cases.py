"""Sheets of the invented company and variants of it, planned once for all tests."""

from dataclasses import replace
from datetime import timedelta
from functools import cache
from typing import Any

from crewplan.intake import read_folder
from crewplan.publishing.crew_sheet import CrewSheet, SheetFacts, crew_sheet
from crewplan.running.clock import read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.sheeting import sheet_facts
from crewplan.running.week import Week, plan_week
from crewplan.takeoff.marks import job_marks

ROOF, UNPLACED, ELECTRICAL, RETURN = "J27-roof", "J20-roof", "J08-electrical", "J13-return"


@cache
def week() -> Week:
    """The demo's plan."""
    branch = read_folder(demo_folder())
    return plan_week(branch, read_clock(branch.settings))


@cache
def facts_of(stage: str = ROOF) -> SheetFacts:
    """Facts of one stage."""
    return sheet_facts(week(), stage)


def placed(kind: str) -> str:
    """A stage of the kind that the plan places."""
    stages = {row.stage: row.kind for row in week().branch.stages}
    return next(p.placement.stage for p in week().plan.planned if stages[p.placement.stage] == kind)


def with_branch(facts: SheetFacts, **changes: Any) -> SheetFacts:
    """The same facts on changed tables; marks follow."""
    branch = replace(facts.branch, **changes)
    return replace(facts, branch=branch, marks=job_marks(branch, facts.takeoff))


def in_units(facts: SheetFacts, units: str) -> SheetFacts:
    """The same sheet for a reader of other units."""
    return with_branch(facts, settings=replace(facts.branch.settings, units=units))


def no_forecast(facts: SheetFacts) -> SheetFacts:
    """The same day, nothing known of it."""
    verdicts = tuple(
        replace(v, verdict="unknown", windows=(), void_after=None, age_h=None)
        for v in facts.verdicts
    )
    return replace(facts, verdicts=verdicts)


def real_clock(facts: SheetFacts) -> SheetFacts:
    """As if the machine's own clock had been asked."""
    asked = facts.asked_at + timedelta(minutes=1)
    return replace(facts, clock="now", mark="", asked_at=asked)


def sheet(facts: SheetFacts) -> CrewSheet:
    """What is printed."""
    return crew_sheet(facts)
