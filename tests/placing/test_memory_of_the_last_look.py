"""After an event only what changed is placed anew, and the choices are those of a fresh look."""

import sys
from dataclasses import fields, replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import NOW, TODAY, bare_week, plan_rows
from invented_weeks import choose as choose_from

from crewplan.labour import stage_hours_all
from crewplan.model.calendar import frozen_days, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.people_rows import Absence
from crewplan.model.work_rows import Progress
from crewplan.placing import all_choices, nearest
from crewplan.placing import fit_line as fit_line_module
from crewplan.placing.memory import Memory
from crewplan.scheduling import rule_of_thumb_plan
from crewplan.takeoff import take_off_all

DAYS = 6


def choose(tables, memory=None, now=NOW):
    horizon = Horizon(
        working_days(tables.settings, TODAY + timedelta(days=1), DAYS),
        frozen_days(tables.settings, now),
    )
    takeoffs = take_off_all(tables)
    return all_choices(
        tables, horizon, takeoffs, stage_hours_all(tables, takeoffs, TODAY), now, memory
    )


def all_of(choices):
    return {field.name: getattr(choices, field.name) for field in fields(choices)}


@pytest.fixture(scope="module")
def week():
    bare = bare_week(5, 18, seed=4)
    rows = plan_rows(rule_of_thumb_plan(choose_from(bare, DAYS)))
    return replace(bare, present=bare.present | {"plan"}, plan=tuple(rows[::2]))


def a_person_is_ill(b):
    return replace(b, absences=(*b.absences, Absence(b.people[0].person, TODAY, None)))


def a_permit_slips(b):
    first = next(i for i, row in enumerate(b.requirements) if row.kind == "permit")
    slipped = replace(b.requirements[first], state="open", granted_on=None)
    return replace(b, requirements=(*b.requirements[:first], slipped, *b.requirements[first + 1 :]))


def a_job_comes_in(b):
    names = {row.stage for row in b.stages if row.job == b.jobs[0].job}

    def other(row):
        return replace(
            row,
            stage=f"N{row.stage}",
            job="JN",
            after=tuple(f"N{a}" for a in row.after),
        )

    return replace(
        b,
        jobs=(*b.jobs, replace(b.jobs[0], job="JN", latitude=46.9)),
        planes=(*b.planes, *(replace(p, job="JN") for p in b.planes if p.job == b.jobs[0].job)),
        stages=(*b.stages, *(other(row) for row in b.stages if row.stage in names)),
        requirements=(
            *b.requirements,
            *(replace(r, job="JN") for r in b.requirements if r.job == b.jobs[0].job),
        ),
    )


def a_day_is_shut(b):
    weather = b.weather
    first = weather.valid_s.min()
    shut = (weather.valid_s - first) // 86400 == 2
    gust = weather.gust_mps.copy()
    gust[shut] = 30.0
    return replace(b, weather=replace(weather, gust_mps=gust))


def windier(b, days, members=slice(None), gust_mps=30.0):
    """The gusts of some days from the first forecast hour on, in all members or in some."""
    weather = b.weather
    day = (weather.valid_s - weather.valid_s.min()) // 86400
    gust = weather.gust_mps.copy()
    some = np.isin(weather.member_index, np.arange(len(weather.members))[members])
    gust[np.isin(day, days) & some] = gust_mps
    return replace(b, weather=replace(weather, gust_mps=gust))


def a_member_is_windier(b):
    return windier(b, [3], slice(0, 1))


def half_of_the_members_are_windier(b):
    return windier(b, [1, 4], slice(0, None, 2))


def two_days_are_windy(b):
    return windier(b, [1, 3], gust_mps=14.0)


def all_days_change(b):
    return windier(b, range(30), slice(0, 4))


def hours_lose_their_gusts(b):
    return windier(b, [2], gust_mps=np.nan)


def a_member_loses_its_gusts(b):
    return windier(b, [1, 2], slice(2, 3), gust_mps=np.nan)


def some_hours_are_missing(b):
    return _without_hours(b, lambda day: day == 3)


def the_forecast_ends_sooner(b):
    return _without_hours(b, lambda day: day >= 4)


def _without_hours(b, gone):
    weather = b.weather
    kept = ~gone((weather.valid_s - weather.valid_s.min()) // 86400)
    changed = {
        field.name: getattr(weather, field.name)[kept]
        for field in fields(weather)
        if isinstance(getattr(weather, field.name), np.ndarray)
    }
    return replace(b, weather=replace(weather, **changed))


def the_forecast_is_old(b):
    weather = b.weather
    return replace(b, weather=replace(weather, issued_s=weather.issued_s - 3 * 86400))


def equipment_breaks(b):
    return replace(b, equipment=tuple(replace(row, quantity=0) for row in b.equipment))


def a_certificate_runs_out(b):
    rows = tuple(replace(row, expires_on=TODAY) for row in b.certificates[:2])
    return replace(b, certificates=(*rows, *b.certificates[2:]))


def a_plan_is_published(b):
    return replace(b, plan=b.plan[: len(b.plan) // 2])


def stock_runs_out(b):
    return replace(b, stock=tuple(replace(row, on_hand=5.0) for row in b.stock))


def a_crew_moves(b):
    return replace(b, crews=(replace(b.crews[0], base_latitude=47.0), *b.crews[1:]))


def a_delivery_slips(b):
    days = timedelta(days=2)
    later = tuple(replace(row, expected_on=row.expected_on + days) for row in b.arrivals)
    return replace(b, arrivals=later)


def a_row_is_pinned(b):
    return replace(b, plan=(replace(b.plan[0], pinned=True), *b.plan[1:]))


def a_published_start_moves(b):
    half = "pm" if b.plan[0].start_half == "am" else "am"
    return replace(b, plan=(replace(b.plan[0], start_half=half), *b.plan[1:]))


def work_is_done(b):
    """All of a first stage, so that nothing stands before the one that follows it."""
    first = next(
        row.stage for row in b.stages if any(row.stage in other.after for other in b.stages)
    )
    seen = tuple(Progress(TODAY, first, step.step, 1.0) for step in b.steps)
    return replace(b, progress=(*b.progress, *seen))


EVENTS = (
    a_person_is_ill,
    a_permit_slips,
    a_job_comes_in,
    a_day_is_shut,
    a_member_is_windier,
    half_of_the_members_are_windier,
    two_days_are_windy,
    all_days_change,
    hours_lose_their_gusts,
    a_member_loses_its_gusts,
    some_hours_are_missing,
    the_forecast_ends_sooner,
    the_forecast_is_old,
    equipment_breaks,
    a_certificate_runs_out,
    a_plan_is_published,
    stock_runs_out,
    a_crew_moves,
    a_delivery_slips,
    a_row_is_pinned,
    a_published_start_moves,
    work_is_done,
)


@pytest.mark.parametrize("event", EVENTS)
def test_choices_after_an_event_are_those_of_a_fresh_look(week, event):
    memory = Memory()
    before = choose(week, memory)
    told, fresh = choose(event(week), memory), choose(event(week))
    assert all_of(fresh) != all_of(before)
    assert all_of(told) == all_of(fresh)


@pytest.mark.parametrize(
    "changed",
    [
        {"overtime_max_h": 1.5},
        {"worst_weather_weight": 0.5},
        {"overtime_max_h": 1.5, "worst_weather_weight": 0.5},
        {"open_jobs_max": 0},
    ],
)
@pytest.mark.parametrize("event", [a_day_is_shut, half_of_the_members_are_windier])
def test_changed_weather_gives_a_fresh_look_s_choices_whatever_is_set(week, event, changed):
    week = replace(week, settings=replace(week.settings, **changed))
    memory = Memory()
    choose(week, memory)
    assert all_of(choose(event(week), memory)) == all_of(choose(event(week)))


def test_weather_that_changes_again_and_again_leaves_nothing_of_an_older_look(week):
    memory = Memory()
    looks = [week, windier(week, [1]), windier(week, [1, 2]), windier(week, [4]), week]
    for tables in looks:
        assert all_of(choose(tables, memory)) == all_of(choose(tables))


def test_only_starts_that_reach_a_changed_day_are_walked_again(week, monkeypatch):
    walked = []
    made = fit_line_module.fits

    def counted(blocks, spread, line, levels, first, least, most_cells):
        walked.extend(np.array(line.cells)[first].tolist())
        return made(blocks, spread, line, levels, first, least, most_cells)

    monkeypatch.setattr(fit_line_module, "fits", counted)
    memory = Memory()
    before = choose(week, memory)
    all_starts = len(walked)
    walked.clear()
    told = choose(windier(week, [2], slice(0, 8)), memory)
    changed = next(i for i, day in enumerate(before.horizon.days) if (day - TODAY).days == 2)
    assert 0 < len(walked) < all_starts / 2
    same = {id(p) for p in before.placements}
    late = [p for p in told.placements if p.start > 2 * changed + 1]
    late = [p for p in late if not p.parts and p.kit is None and not p.with_visit]
    assert late
    assert all(id(p) in same for p in late)


def test_half_a_day_that_is_over_is_no_start_any_more(week):
    memory, noon = Memory(), NOW + timedelta(hours=18)
    before = choose(week, memory)
    told = choose(week, memory, noon)
    assert len(told.placements) < len(before.placements)
    assert all_of(told) == all_of(choose(week, now=noon))
    again = choose(week, memory, noon + timedelta(minutes=5))
    placed = {p.stage for p in told.placements}
    pairs = zip(told.stages, again.stages, strict=True)
    assert {was.stage for was, now in pairs if was is now} == placed


def test_only_what_changed_is_placed_anew(week):
    memory = Memory()
    choose(week, memory)
    crews, stages = len(week.crews), len(week.stages)
    assert (memory.recalled, memory.made) == (0, crews * stages)
    choose(a_person_is_ill(week), memory)
    assert (memory.recalled, memory.made) == ((crews - 1) * stages, stages)
    choose(a_person_is_ill(week), memory, NOW + timedelta(minutes=5))
    assert memory.made == 0
    choose(a_permit_slips(a_person_is_ill(week)), memory)
    assert 0 < memory.made <= 3 * crews


def test_in_a_large_region_a_stage_is_offered_to_the_nearest_crews_that_may(week, monkeypatch):
    whole = choose(week)
    monkeypatch.setattr(nearest, "PAIRS", 1)
    monkeypatch.setattr(nearest, "LEAST", 2)
    few = choose(week)
    assert set(map(repr, few.placements)) < set(map(repr, whole.placements))
    assert any("2 nearest crews" in note for note in few.notes)
    assert not any("nearest crews" in note for note in whole.notes)
    published = {row.stage: row.crew for row in week.plan}
    for stage in whole.stages:
        may = {p.crew for p in whole.placements if p.stage == stage.stage}
        offered = {p.crew for p in few.placements if p.stage == stage.stage}
        assert len(offered - {published.get(stage.stage)}) >= min(2, len(may)) - 1
        assert len(offered) <= 3
        assert bool(offered) == bool(may)
        # what is kept where it was published is kept there still
    assert [s.keep for s in few.stages] == [s.keep for s in whole.stages]
