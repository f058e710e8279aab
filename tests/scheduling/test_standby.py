"""Standby: chosen ahead for visits that the weather may stop, and passed by every rule."""

import json
from dataclasses import replace
from datetime import timedelta
from functools import cache
from itertools import groupby

import numpy as np
import pytest
from board_views import full_view

from crewplan.intake import read_folder
from crewplan.labour import stage_hours_all
from crewplan.model.calendar import local_day
from crewplan.model.plan import Plan
from crewplan.model.standby import Standby
from crewplan.placing import all_choices
from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.plan_text import plan_text
from crewplan.publishing.standby import of_visit, standby_words
from crewplan.running.clock import read_clock
from crewplan.running.demo import demo_folder
from crewplan.running.evening import evening_notes
from crewplan.running.own_view import own_view
from crewplan.running.published_standby import published_standby
from crewplan.running.week import Week, horizon_of
from crewplan.scheduling import check_plan, rule_of_thumb_plan
from crewplan.scheduling.standby import standby_of_plan
from crewplan.takeoff import take_off_all

CASES = ((1.2, 10), (2.2, 10), (1.8, 4), (2.2, 4))
"""The demo's wind times so much, in every third member; working days planned."""


@cache
def windy_week(factor: float, days: int) -> Week:
    """The demo in more wind, planned by the rule of thumb, so that many visits are at risk."""
    branch = read_folder(demo_folder())
    clock = read_clock(branch.settings)
    table = branch.weather
    more = np.where(table.member_index % 3 == 0, factor, 1.0)
    weather = replace(table, gust_mps=table.gust_mps * more, wind_mps=table.wind_mps * more)
    branch = replace(branch, weather=weather, plan=(), present=branch.present - {"plan"})
    horizon = horizon_of(branch, clock, None, days)
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, local_day(branch.settings, clock.now))
    choices = all_choices(branch, horizon, takeoffs, hours, clock.now)
    plan = rule_of_thumb_plan(choices)
    plan = replace(plan, standby=standby_of_plan(branch, choices, plan, hours))
    return Week(branch, clock, takeoffs, hours, choices, plan)


def faults(week: Week, plan: Plan) -> tuple[str, ...]:
    return check_plan(week.branch, week.choices, plan, week.clock.now)


def with_first(week: Week, kind: str, **changes) -> Plan:
    """The plan with the first standby of a kind changed."""
    rows = list(week.plan.standby)
    at = next(i for i, one in enumerate(rows) if one.instead == kind)
    rows[at] = replace(rows[at], **changes)
    return replace(week.plan, standby=tuple(rows))


def week_with(kind: str) -> Week:
    """The first of the cases in which such standby is told."""
    weeks = (windy_week(*case) for case in CASES)
    return next(w for w in weeks if any(one.instead == kind for one in w.plan.standby))


@pytest.mark.parametrize(("factor", "days"), CASES)
def test_all_standby_passes_the_checker(factor: float, days: int) -> None:
    week = windy_week(factor, days)
    assert faults(week, week.plan) == ()


def test_each_kind_of_standby_is_found_somewhere() -> None:
    told = {one.instead for case in CASES for one in windy_week(*case).plan.standby}
    assert told == {"ground work on site", "another stage", "another site", "nothing"}


@pytest.mark.parametrize(("factor", "days"), CASES)
def test_every_day_of_roof_work_that_some_weather_stops_has_its_answer(
    factor: float, days: int
) -> None:
    week = windy_week(factor, days)
    told = {(one.crew, one.day, one.stage) for one in week.plan.standby}
    wanted = {
        (p.placement.crew, week.plan.horizon.day_of(cell), p.placement.stage)
        for p in week.plan.planned
        if p.placement.p_go < 1 and week.hours[p.placement.stage].exposed
        for cell in p.placement.cells
    }
    assert told == wanted
    assert len(told) == len(week.plan.standby)


@pytest.mark.parametrize(("factor", "days"), CASES)
def test_no_stage_is_standby_of_two_crews_on_one_day(factor: float, days: int) -> None:
    rows = [one for one in windy_week(factor, days).plan.standby if one.placement is not None]
    rows.sort(key=lambda one: one.day)
    for _, of_day in groupby(rows, key=lambda one: one.day):
        stages = [one.placement.stage for one in of_day if one.placement is not None]
        assert len(stages) == len(set(stages))


@pytest.mark.parametrize(("factor", "days"), CASES)
def test_another_stage_is_nobody_else_s_and_another_site_has_better_chances(
    factor: float, days: int
) -> None:
    week = windy_week(factor, days)
    crews = {p.placement.stage: p.placement.crew for p in week.plan.planned}
    day_of = week.plan.horizon.day_of
    ends = {p.placement.stage: day_of(p.placement.end) for p in week.plan.planned}
    kinds = {stage.stage: stage.kind for stage in week.branch.stages}
    for one in week.plan.standby:
        if one.placement is None:
            continue
        assert crews.get(one.placement.stage, one.crew) == one.crew
        assert kinds[one.placement.stage] != "inspection"
        after = next(row.after for row in week.branch.stages if row.stage == one.placement.stage)
        assert all(ends.get(before) != one.day for before in after)
        exposed = week.hours[one.placement.stage].exposed
        assert exposed == (one.instead == "another site")
        assert not exposed or one.placement.p_go > 1 - one.p_no_go


def test_its_price_is_that_of_the_stage_less_what_the_plan_pays_for_leaving_it_out() -> None:
    week = windy_week(2.2, 4)
    left_out = {out.stage: out.cents for out in week.plan.unplaced}
    seen = 0
    for one in week.plan.standby:
        if one.placement is not None and one.placement.stage in left_out:
            assert one.cents == one.placement.cents - left_out[one.placement.stage]
            seen += 1
        assert one.cents < 0 or one.instead == "nothing"
    assert seen


def test_ground_work_on_site_is_worth_the_crew_s_time() -> None:
    """Recounted: hours / pace of those there x what an hour of them costs, to the cent."""
    week = week_with("ground work on site")
    one = next(one for one in week.plan.standby if one.instead == "ground work on site")
    there = [person for person in week.branch.people if person.crew == one.crew]
    away = {row.person for row in week.branch.absences}
    assert not away & {person.person for person in there}
    pace = sum(person.pace for person in there)
    worth = one.hours / pace * sum(person.cost_per_h for person in there)
    assert one.cents == -round(worth * 100)


@pytest.mark.parametrize(
    ("kind", "changes", "told"),
    [
        ("another stage", {"crew": "Nobody"}, "was not offered to crew Nobody"),
        ("another stage", {"day": None}, "does not stay on"),
        ("ground work on site", {"steps": ("lift_modules",)}, "no work on the ground"),
        ("ground work on site", {"hours": 999.0}, "fewer hours on the ground than told"),
        ("ground work on site", {"stage": "NOSUCH"}, "NOSUCH is not of crew"),
    ],
)
def test_the_checker_rejects_broken_standby(kind: str, changes: dict, told: str) -> None:
    week = week_with(kind)
    if "day" in changes:
        changes = {"day": week.plan.horizon.days[0] - timedelta(days=3)}
    if changes.get("stage") == "NOSUCH":
        changes = {"stage": next(p.placement.stage for p in week.plan.planned)}
        one = next(one for one in week.plan.standby if one.instead == kind)
        assert one.stage != changes["stage"]
        told = "is not of crew"
    assert any(told in fault for fault in faults(week, with_first(week, kind, **changes)))


def test_the_checker_rejects_a_stage_told_to_two_crews_on_one_day() -> None:
    week = week_with("another stage")
    one = next(one for one in week.plan.standby if one.instead == "another stage")
    twice = replace(week.plan, standby=(*week.plan.standby, one))
    assert any("standby twice" in fault for fault in faults(week, twice))


def test_the_checker_rejects_a_stage_of_another_crew_and_what_is_on_a_roof() -> None:
    week = week_with("another stage")
    one = next(one for one in week.plan.standby if one.instead == "another stage")
    others = next(
        p.placement
        for p in week.plan.planned
        if p.placement.crew != one.crew and week.hours[p.placement.stage].exposed
    )
    told = faults(week, with_first(week, "another stage", placement=others, job="X"))
    assert any(f"{others.stage} was not offered to crew {one.crew}" in fault for fault in told)
    assert any(f"{others.stage} is already of crew {others.crew}" in fault for fault in told)
    assert any(f"{others.stage} has work on the roof" in fault for fault in told)


def test_the_plan_s_json_has_the_key_standby_and_its_text_the_words() -> None:
    week = week_with("another stage")
    told = json.loads(json.dumps(plan_json(week.plan, "now")))["standby"]
    assert len(told) == len(week.plan.standby)
    one = next(row for row in told if row["instead"] == "another stage")
    assert set(one) == {
        "day",
        "crew",
        "stage",
        "p_no_go",
        "instead",
        "other_stage",
        "job",
        "start_half",
        "half_days",
        "p_go",
        "steps",
        "hours",
        "costs_more",
    }
    text = plan_text(week.branch, week.plan, "")
    assert "Standby where the weather may say no" in text
    assert f"{one['other_stage']} (job {one['job']})" in text


def test_roof_work_elsewhere_is_told_to_wait_for_a_go_of_its_own() -> None:
    stood_by = [
        one
        for case in CASES
        for one in windy_week(*case).plan.standby
        if one.instead == "another site"
    ]
    assert stood_by
    assert all("only after a go of its own" in standby_words(one) for one in stood_by)


def test_the_evening_note_tells_what_was_chosen_for_the_published_visit() -> None:
    branch = read_folder(demo_folder())
    clock = read_clock(branch.settings)
    day = local_day(branch.settings, clock.now) + timedelta(days=1)
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, local_day(branch.settings, clock.now))
    chosen = published_standby(branch, clock, day, takeoffs, hours)
    spoken_for = {row.stage: row.crew for row in branch.plan}
    stages = [one.placement.stage for one in chosen if one.placement is not None]
    assert stages
    assert len(stages) == len(set(stages))
    assert all(
        spoken_for.get(one.placement.stage, one.crew) == one.crew for one in chosen if one.placement
    )
    notes = {
        (note.crew, note.stage): dict(note.lines) for note, _ in evening_notes(branch, clock, day)
    }
    for one in chosen:
        if one.placement is not None:
            told = notes[one.crew, one.stage]["standby"]
            assert told == f"If this does not go: {standby_words(one)}."


def test_on_a_day_off_nobody_stands_by() -> None:
    branch = read_folder(demo_folder())
    clock = read_clock(branch.settings)
    sunday = local_day(branch.settings, clock.now)
    assert published_standby(branch, clock, sunday, {}, {}) == ()


def test_a_lead_sees_their_standby_and_no_money() -> None:
    view = full_view()
    planned = next(p for p in view.plan.planned if p.placement.crew == "Alder")
    other = replace(planned.placement, stage="S9", cost={"travel": 700})
    day = view.plan.horizon.days[0]
    rows = (
        Standby(day, "Alder", planned.placement.stage, 0.2, "another stage", other, "J", cents=-5),
        Standby(day, "Birch", "S2", 0.2, "nothing"),
    )
    own = own_view(replace(view, plan=replace(view.plan, standby=rows)), frozenset({"Alder"}))
    [one] = own.plan.standby
    assert one.crew == "Alder"
    assert one.cents == 0
    assert one.placement is not None
    assert one.placement.cents == 0
    assert of_visit(own.plan.standby, day, "Alder", planned.placement.stage) == one
