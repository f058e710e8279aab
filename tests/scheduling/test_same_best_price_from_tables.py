"""Small weeks from tables, every price on: both engines find what trying everything finds.

Overtime, the worst weathers and another crew come from the settings through placing here, and each
of these prices is recounted for every placement in the slow and obvious way.
"""

import sys
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))
sys.path.insert(0, str(Path(__file__).parents[1] / "placing"))

from builders import NOW
from invented_weeks import TODAY, bare_week, choose
from plain_twin import allowed, best_price, parts, price
from plain_walk import placement_pieces, scales, walk_one, worst_tenth
from small_week import PROOF

from crewplan.labour import stage_hours_all
from crewplan.model.calendar import shift_hours
from crewplan.model.work_rows import HoursWorked
from crewplan.placing.travel import drive_h
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan
from crewplan.takeoff import take_off_all
from crewplan.weather import open_hours_all

DAYS = 3
ON = {
    "overtime_max_h": 1.5,
    "worst_weather_weight": 0.5,
    "other_crew_cost": 40.0,
    "uneven_hour_cost": 6.0,
}
WEEKS = [seed for seed in range(24) if seed not in (0, 8, 9)]
"""Nothing is ready in those left out."""


@cache
def tables(seed):
    """Two crews, four stages; the second crew's last person has begun the first job."""
    found = bare_week(2, 4, seed)
    begun = HoursWorked(TODAY, found.stages[0].stage, found.people[-1].person, 2.0)
    return replace(
        found,
        settings=replace(found.settings, **ON),
        hours_worked=(begun,),
        present=found.present | {"hours_worked"},
    )


@cache
def choices_of(seed):
    return choose(tables(seed), DAYS)


def picked(plan):
    return {planned.placement.stage: planned.placement for planned in plan.planned}


@pytest.mark.parametrize("seed", WEEKS)
def test_trying_everything_and_both_engines_find_the_same_best_price(seed):
    choices = choices_of(seed)
    best = best_price(choices)
    for engine in ("highs", "cp-sat"):
        plan = schedule(choices, engine=engine, stop=PROOF)
        assert plan.objective == plan.bound == best, engine
        assert allowed(choices, picked(plan)), engine
        assert price(choices, picked(plan)) == best
        told = {name: cents for name, cents in plan.parts.items() if cents}
        assert told == parts(choices, picked(plan)), engine
        assert check_plan(tables(seed), choices, plan, NOW) == ()


def there(seed, crew, day):
    """People of the crew who are not away on the day."""
    branch = tables(seed)
    gone = {
        row.person
        for row in branch.absences
        if row.first_day <= day and (row.last_day is None or day <= row.last_day)
    }
    return [p for p in branch.people if p.crew == crew and p.person not in gone]


def an_hour(seed, choices, p):
    """Mean cost of a person-hour of those there on the placement's days."""
    people = [one for day in p.days for one in there(seed, p.crew, choices.horizon.days[day])]
    return sum(one.cost_per_h for one in people) / len(people)


@pytest.mark.parametrize("seed", WEEKS)
def test_overtime_and_another_crew_cost_what_the_settings_say(seed):
    choices, branch = choices_of(seed), tables(seed)
    job_of = {row.stage: row.job for row in branch.stages}
    begun, starter = branch.stages[0].job, branch.people[-1].crew
    for p in choices.placements:
        late_cents = 100 * p.overtime_h * an_hour(seed, choices, p) * 1.5
        assert p.cost.get("overtime", 0) == pytest.approx(late_cents, abs=0.51)
        other = job_of[p.stage] == begun and p.crew != starter
        assert p.cost.get("another crew", 0) == (4000 if other else 0)


def levels(seed, job):
    """[members, hours] 0 shut, 1 ground, 2 roof, 3 lift; and each day's hours with the first's
    number."""
    branch, starts, days = tables(seed), [], []
    for day in choices_of(seed).horizon.days:
        hours = shift_hours(branch.settings, day)
        days.append((hours, len(starts)))
        starts += [hour.start for hour in hours]
    (at,) = open_hours_all(branch, starts, NOW, [job.spot], purpose="planning")
    ground, roof, lift = at.good
    return ground + 1 * (ground & roof) + 1 * (ground & roof & lift), days


def worst_cents(seed, p):
    """What lost hours and coming again cost more in the worst tenth than on the mean, halved."""
    branch, choices = tables(seed), choices_of(seed)
    stage = next(row for row in branch.stages if row.stage == p.stage)
    job = next(row for row in branch.jobs if row.job == stage.job)
    base = next(row for row in branch.crews if row.crew == p.crew)
    away_h = drive_h(
        branch.settings, base.base_latitude, base.base_longitude, job.latitude, job.longitude
    )
    left = stage_hours_all(branch, take_off_all(branch), TODAY)[p.stage]
    crews = [there(seed, p.crew, day) for day in choices.horizon.days]
    pace, count = [sum(one.pace for one in crew) for crew in crews], [len(crew) for crew in crews]
    level, days = levels(seed, job)
    pieces = placement_pieces(p.cells, days, away_h)
    dearest = max(sum(one.cost_per_h for one in crew) for crew in crews)
    again = (2 * away_h + max(choices.half_day_h)) * dearest
    losses = []
    for member in level:
        walked = [
            walk_one(left.steps, scale, pieces, pace, count, member)
            for scale in scales(left.spread)
        ]
        undone = sum(not done for done, _ in walked) / 5
        losses.append(walked[2][1] * an_hour(seed, choices, p) + undone * again)
    return 100 * 0.5 * (worst_tenth(losses) - float(np.mean(losses)))


def test_the_worst_weathers_cost_what_plain_loops_say():
    compared = 0
    for seed in WEEKS[:8]:
        kinds = {row.stage: row.kind for row in tables(seed).stages}
        for p in choices_of(seed).placements:
            if kinds[p.stage] == "roof" and not p.overtime_h and not p.parts:
                told = p.cost.get("worst weathers", 0)
                assert told == pytest.approx(worst_cents(seed, p), abs=0.6), p
                compared += told > 0
    assert compared >= 20


def test_the_weeks_have_each_of_the_prices_and_something_to_choose():
    offered = [p for seed in WEEKS for p in choices_of(seed).placements]
    for part in ("overtime", "worst weathers", "another crew"):
        assert sum(part in p.cost for p in offered) >= 30, part
    assert sum(len(choices_of(seed).placements) > 20 for seed in WEEKS) >= 8
