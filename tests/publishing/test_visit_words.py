"""Overtime and shared drives are told wherever a placement is."""

import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "scheduling"))

from small_week import placement, small_branch, small_choices_of_week, small_plan, with_placement

from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.plan_text import plan_text
from crewplan.publishing.visit_words import visit_words
from crewplan.publishing.why_text import why_text
from crewplan.scheduling import why


def told_plan():
    plan = with_placement(small_plan(), "S1", overtime_h=1.5)
    return with_placement(plan, "S5", with_visit="S6")


def test_a_visit_like_any_other_has_no_words():
    assert list(visit_words(placement(small_plan(), "S1"))) == []


def test_the_plan_tells_of_overtime_and_of_one_drive():
    told = plan_text(small_branch(), told_plan(), "")
    assert "S1 is expected to need 1.5 person-hours after the shift." in told
    assert "S5 goes on one drive with S6." in told
    rows = {row["stage"]: row for row in plan_json(told_plan(), "now")["placements"]}
    assert rows["S1"]["overtime_h"] == 1.5
    assert (rows["S5"]["drive_shared_with"], rows["S1"]["drive_shared_with"]) == ("S6", None)


def test_the_answer_about_a_stage_tells_it_too():
    answer = why(small_choices_of_week(), told_plan(), "S1")
    told = why_text(small_branch(), told_plan().horizon, replace(answer), "")
    assert "It is expected to need 1.5 person-hours after the shift." in told
