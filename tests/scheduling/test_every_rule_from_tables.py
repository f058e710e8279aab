"""Weeks from tables with every rule and price on: both engines agree, the checker passes them."""

import sys
from dataclasses import replace
from datetime import timedelta
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from builders import NOW
from invented_weeks import TODAY, choose, week
from small_week import PROOF

from crewplan.model.people_rows import Absence
from crewplan.model.work_rows import HoursWorked
from crewplan.scheduling import schedule
from crewplan.scheduling.checker import check_plan
from crewplan.scheduling.replanning import before_plan, left_of, repair

ON = {
    "overtime_max_h": 1.5,
    "uneven_hour_cost": 6.0,
    "worst_weather_weight": 0.3,
    "other_crew_cost": 40.0,
}


@cache
def tables(seed, crews=2):
    found = week(crews, 9, seed)
    started = HoursWorked(TODAY, found.stages[0].stage, found.people[-1].person, 2.0)
    return replace(
        found, settings=replace(found.settings, **ON), hours_worked=(started,),
        present=found.present | {"hours_worked"},
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_both_engines_find_the_same_price_and_the_checker_passes_both(seed):
    choices = choose(tables(seed), 5)
    plans = [schedule(choices, engine=engine, stop=PROOF) for engine in ("highs", "cp-sat")]
    assert plans[0].objective == plans[1].objective == plans[0].bound == plans[1].bound
    for plan in plans:
        assert sum(plan.parts.values()) == plan.objective
        assert check_plan(tables(seed), choices, plan, NOW) == ()


@pytest.mark.parametrize("seed", [0, 1])
def test_a_plan_repaired_after_an_event_passes_the_checker_too(seed):
    """Only some placements are looked at then: the whole plan's own price is still recounted."""
    week = tables(seed, 6)
    before = schedule(choose(week, 5), stop=PROOF)
    ill = Absence(week.people[0].person, TODAY, TODAY + timedelta(days=2))
    after = replace(week, absences=(*week.absences, ill))
    choices = choose(after, 5)
    last = before_plan(choices, before)
    repaired = repair(left_of(choices, last), last, stop=PROOF)
    assert check_plan(after, choices, repaired, NOW) == ()


def test_the_prices_are_there_to_be_paid():
    """Over all weeks every one of the settings puts its part on some placement or plan."""
    offered = {name for seed in range(6) for p in choose(tables(seed), 5).placements
               for name in p.cost}  # fmt: skip
    assert {"overtime", "worst weathers", "another crew"} <= offered
    plans = [schedule(choose(tables(seed), 5), stop=PROOF) for seed in range(3)]
    assert any(plan.parts.get("uneven hours", 0) > 0 for plan in plans)
