"""Weeks solved to proof: a crew more, a looser limit or a day more never costs more; names and the
order of rows do not count; what the plan does anyway costs nothing to force."""

import sys
from dataclasses import fields, replace
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from invented_weeks import bare_week, choose
from small_week import PROOF

from crewplan.model.people_rows import Certificate, Crew, Person
from crewplan.model.whatif import Wanted
from crewplan.scheduling import schedule
from crewplan.scheduling.wanting import wanting

WEEKS = (0, 1, 2, 3)
DAYS = 6


@cache
def tables(seed):
    return bare_week(3, 12, seed)


@cache
def plan(seed):
    return solved(choose(tables(seed), DAYS))


def solved(choices):
    found = schedule(choices, stop=PROOF)
    assert found.objective == found.bound
    return found


@pytest.mark.parametrize("seed", WEEKS)
def test_a_crew_more_never_costs_more(seed):
    week = tables(seed)
    lead = Person("N 1", "N", "lead", 42.0, 1.0)
    more = replace(
        week,
        crews=(*week.crews, Crew("N", 46.8, -92.1, ("boom",))),
        people=(*week.people, lead, replace(lead, person="N 2", role="installer")),
        certificates=(
            *week.certificates,
            *(Certificate("N 1", name, None) for name in ("roof_anchor", "electrician")),
        ),
    )
    assert solved(choose(more, DAYS)).objective < plan(seed).objective


@pytest.mark.parametrize("seed", WEEKS)
def test_a_looser_limit_never_costs_more(seed):
    week = tables(seed)
    looser = tuple(
        replace(row, at_most=1.2 * row.at_most) if row.measure in ("wind", "gust") else row
        for row in week.package_limits
    )
    assert solved(choose(replace(week, package_limits=looser), DAYS)).objective <= (
        plan(seed).objective
    )


@pytest.mark.parametrize("seed", WEEKS)
def test_a_day_more_never_costs_more_where_what_is_left_out_costs_the_same(seed):
    longer, shorter = choose(tables(seed), DAYS + 1), choose(tables(seed), DAYS)
    later = {row.stage: row.unplaced_cost for row in shorter.stages}
    stages = tuple(replace(row, unplaced_cost=later[row.stage]) for row in longer.stages)
    assert solved(replace(longer, stages=stages)).objective <= plan(seed).objective


def renamed(week):
    """Every crew, stage, job and person under another name, and all tables upside down."""

    def new(value, names):
        if isinstance(value, str):
            return names.get(value, value)
        return tuple(new(one, names) for one in value) if isinstance(value, tuple) else value

    names = {row.crew: f"z{9 - i} crew" for i, row in enumerate(week.crews)}
    names |= {row.person: f"p{i * 7 % 10} {row.person}" for i, row in enumerate(week.people)}
    for i, row in enumerate(week.jobs):
        names[row.job] = f"{chr(120 - i)} job"
    names |= {row.stage: f"{i % 5}-{row.stage} again" for i, row in enumerate(week.stages)}
    changed = {}
    for name in ("crews", "people", "certificates", "absences", "jobs", "planes", "stages",
                 "requirements", "stock", "arrivals", "authorities", "equipment"):  # fmt: skip
        changed[name] = tuple(
            replace(row, **{f.name: new(getattr(row, f.name), names) for f in fields(row)})
            for row in reversed(getattr(week, name))
        )
    return replace(week, **changed)


@pytest.mark.parametrize("seed", WEEKS)
def test_names_and_the_order_of_rows_leave_the_price(seed):
    assert solved(choose(renamed(tables(seed)), DAYS)).objective == plan(seed).objective


@pytest.mark.parametrize("seed", WEEKS)
def test_forcing_what_the_plan_does_anyway_costs_nothing(seed):
    choices, found = choose(tables(seed), DAYS), plan(seed)
    for planned in found.planned[:3]:
        p = planned.placement
        wanted = Wanted(p.stage, choices.horizon.day_of(p.start), p.crew)
        assert solved(wanting(choices, wanted)).objective == found.objective
