"""The window that a job's lift asks for hangs on who is there to do it."""

from dataclasses import replace
from datetime import date

import pytest
from builders import NOW, branch, job

from crewplan.model.hours import StageHours, StepHours
from crewplan.model.job_rows import Stage
from crewplan.model.people_rows import Absence, Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.running.clock import Clock
from crewplan.running.gating import ask_gate, lift_h

MONDAY = date(2026, 5, 4)
LIFT = StageHours(
    "S1", (StepHours("lift", "lift", (), 3.0, 0.0, 2, "by hand"),), 3.0, 3.0, 3.0, 3.0, 0.0, False,
    False,
)  # fmt: skip
"""Three person-hours, no spread."""


def _branch(*absences):
    people = (Person("ann", "A", "lead", 40.0, 1.0), Person("bob", "A", "installer", 35.0, 1.0))
    people += (Person("cid", "B", "lead", 40.0, 0.75),)
    crews = (Crew("A", 46.8, -92.1), Crew("B", 46.8, -92.1))
    return branch(people=people, crews=crews, absences=absences)


def test_those_who_are_away_that_day_lift_nothing():
    away = Absence("bob", MONDAY, MONDAY)
    assert lift_h(_branch(), LIFT, "A", MONDAY) == 1.5
    assert lift_h(_branch(away), LIFT, "A", MONDAY) == 3.0
    assert lift_h(_branch(away), LIFT, "A", date(2026, 5, 5)) == 1.5


def test_without_a_crew_the_slowest_that_is_there_counts():
    # 3 h at a pace of 0.75 would be 4 h; at most 4.25 h of a half-day less half an hour
    assert lift_h(_branch(), LIFT, "", MONDAY) == 3.75
    assert lift_h(_branch(Absence("cid", MONDAY)), LIFT, "", MONDAY) == 1.5


def test_a_window_too_short_for_those_who_are_there_is_not_asked_for_as_if_all_were():
    def needed(*absences):
        return ask_gate(_branch(*absences), Clock(NOW, "now"), job="J1", exposures=("lift",))[0]

    short = needed(Absence("cid", MONDAY), Absence("bob", MONDAY)).window_needed_h
    whole = needed(Absence("cid", MONDAY)).window_needed_h
    assert short == pytest.approx(min(2 * (whole - 0.5) + 0.5, 4.25))


def test_whoever_is_lent_to_another_crew_that_day_lifts_nothing_at_home():
    """By hand: bob helps crew B on Monday by the published plan; ann alone takes 3 h, not 1.5."""
    lends = PlanRow("S2", "B", MONDAY, "am", half_days=2, lent=("bob",))
    stages = (Stage("S1", "J1", "roof"), Stage("S2", "J1", "electrical"))
    there = replace(_branch(), plan=(lends,), stages=stages, jobs=(job("J1"),))
    assert lift_h(there, LIFT, "A", MONDAY) == 3.0
    assert lift_h(there, LIFT, "A", date(2026, 5, 5)) == 1.5
    # whoever comes to help makes no window shorter
    assert lift_h(there, LIFT, "B", MONDAY) == lift_h(_branch(), LIFT, "B", MONDAY)


def test_whoever_a_plan_that_is_not_published_lends_lifts_nothing_either():
    assert lift_h(_branch(), LIFT, "A", MONDAY, ("bob",)) == 3.0
    with_nobody = lift_h(_branch(), LIFT, "A", MONDAY, ("ann", "bob"))
    assert with_nobody == 3.0  # one person, at the table's pace
