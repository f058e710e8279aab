"""Hours wanted against hours there, by week and skill."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
import pytest
from builders import NOW, stage
from promise_cases import TODAY, a_branch, a_year_seen, with_crew

from crewplan.labour import stage_hours_all
from crewplan.model.people_rows import Absence, Certificate
from crewplan.model.plan_row import PlanRow
from crewplan.scheduling.promising import skill_outlook
from crewplan.takeoff import take_off_all


def outlook_of(held, **changes):
    hours = stage_hours_all(held, take_off_all(held), TODAY)
    return skill_outlook(held, hours, NOW, draws=60, **changes)


def of_skill(outlook, skill):
    return [row for row in outlook.weeks if row.skill == skill]


def branch_of(**changes):
    return a_branch(np.random.default_rng(2), crews=2, backlog=8, **changes)


def test_what_is_left_of_a_week_is_wanted_in_the_next() -> None:
    rows = of_skill(outlook_of(branch_of()), "all work")
    assert len(rows) == 12
    assert rows[0].left_h > 0
    for before, after in pairwise(rows):
        assert after.wanted_h == pytest.approx(after.new_h + before.left_h)
        assert after.from_on == before.from_on + timedelta(days=7)


def test_all_hours_become_ready_within_the_weeks_or_are_told_apart() -> None:
    long, short = outlook_of(branch_of(), weeks=12), outlook_of(branch_of(), weeks=1)
    told = [
        sum(row.new_h for row in of_skill(one, "all work")) + one.not_ready_h["all work"]
        for one in (long, short)
    ]
    assert told[0] == pytest.approx(told[1])
    assert short.not_ready_h["all work"] > long.not_ready_h["all work"]


def test_a_certificate_that_one_crew_has_makes_only_its_hours_count() -> None:
    """By hand: a crew of three at pace 1 has 3 x 8.5 h a day, five days a week, on the ground."""
    stages = tuple(
        replace(row, kind="commissioning", certificates=("meter",)) for row in branch_of().stages
    )
    held = branch_of(
        stages=stages,
        certificates=(Certificate("Crew 1 2", "meter"),),
        weather_past=a_year_seen(0.0),
    )
    rows = of_skill(outlook_of(held), "meter")
    assert rows[1].there_h == pytest.approx(3 * 8.5 * 5)
    assert of_skill(outlook_of(held), "all work")[1].there_h == pytest.approx(2 * 3 * 8.5 * 5)
    gone = replace(held, certificates=(Certificate("Crew 1 2", "meter", date(2026, 5, 8)),))
    assert [row.there_h for row in of_skill(outlook_of(gone), "meter")][1:] == [0.0] * 11


def test_days_without_a_lead_count_for_all_work_and_not_for_the_lead() -> None:
    held = branch_of(absences=(Absence("Crew 0 0", date(2026, 5, 4), date(2026, 5, 8), ""),))
    outlook = outlook_of(held)
    there = [of_skill(outlook, skill)[0].there_h for skill in ("all work", "lead")]
    assert there[1] < there[0]


def test_with_a_crew_more_less_is_left_over() -> None:
    before, after = (
        sum(row.left_h for row in of_skill(outlook_of(held), "all work"))
        for held in (branch_of(), with_crew(branch_of(), "New"))
    )
    assert after < before


def test_a_branch_without_open_stages_has_nothing_to_tell() -> None:
    assert outlook_of(branch_of(stages=())).weeks == ()


def test_a_stage_that_the_plan_has_is_wanted_from_its_published_day() -> None:
    held = branch_of(
        stages=(stage("P00-roof", job="P00"),),
        plan=(PlanRow("P00-roof", "Crew 0", date(2026, 5, 19)),),
    )
    rows = of_skill(outlook_of(held), "all work")
    assert [row.new_h > 0 for row in rows] == [False, False, True, *[False] * 9]
