"""Placing fed by take-off, labour, readiness and weather as the program feeds it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from builders import NOW, branch, stage, weather
from one_crew_week import CREW_A, TWO_PEOPLE, WEEK, day, said

from crewplan.labour import stage_hours_all
from crewplan.model.horizon import Horizon
from crewplan.model.limit_row import Limit
from crewplan.model.waiting_rows import Authority, Requirement
from crewplan.placing import all_choices
from crewplan.takeoff import take_off_all

LIMITS = tuple(Limit(e, "gust", 12.0, "m/s", source="by hand") for e in ("ground", "roof", "lift"))
GRANTED = tuple(Requirement("J1", kind, "granted") for kind in ("permit", "survey", "kit"))


def choices(gust_mps, **tables):
    """Twelve members for a week; `gust_mps` of a UTC time."""
    first = datetime(2026, 5, 4, 5, 0, tzinfo=UTC)
    hours = [first + timedelta(hours=h) for h in range(24 * 5)]
    rows = [
        {
            "valid_at": at,
            "issued_at": NOW,
            "member": member,
            "gust_mps": gust_mps(at),
            "latitude": 46.8,
            "longitude": -92.1,
        }
        for at in hours
        for member in range(12)
    ]
    values = {"people": TWO_PEOPLE, "crews": (CREW_A,), "requirements": GRANTED}
    values |= {"weather": weather(rows), "package_limits": LIMITS}
    told = branch(**(values | tables))
    takeoffs = take_off_all(told)
    hours_left = stage_hours_all(told, takeoffs, day(3))
    return all_choices(told, Horizon(WEEK, frozenset()), takeoffs, hours_left, NOW)


def test_a_calm_week_takes_a_roof_on_every_day_that_leaves_time_for_it():
    calm = choices(lambda at: 5.0)
    assert calm.placements
    assert {p.p_go for p in calm.placements} == {1.0}
    assert {p.lost_h for p in calm.placements} == {0.0}
    assert calm.stages[0].reasons == ()


def test_a_stormy_week_leaves_the_roof_out_and_says_why():
    storm = choices(lambda at: 30.0)
    assert storm.placements == ()
    ((text, first, last),) = said(storm.stages[0], "weather")
    assert text == "lift: P(go) at most 0.00, 0.70 needed"
    # 26.9 person-hours by two are four half-days: Thursday morning is the last start with time
    assert (first, last) == (day(4), day(7))


def test_a_stormy_morning_is_paid_for_in_lost_hours():
    # 12:00 UTC is 07:00 in Chicago: the first three hours of Monday are shut
    morning = choices(lambda at: 30.0 if at < datetime(2026, 5, 4, 15, tzinfo=UTC) else 5.0)
    first = next(p for p in morning.placements if p.start == 0)
    assert first.lost_h == pytest.approx(6.0)  # two people
    assert first.cost["lost hours"] == 6 * 3500  # at their mean of 35 an hour


def test_a_stage_whose_permit_is_open_is_left_with_that_reason():
    rows = (Requirement("J1", "permit", "open"), *GRANTED[1:])
    waiting = choices(lambda at: 5.0, requirements=rows)
    assert waiting.placements == ()
    assert waiting.stages[0].awaited == ("permit",)
    ((text, _, _),) = said(waiting.stages[0], "readiness")
    assert text.startswith("permit: open")


def test_an_electrical_stage_after_its_roof_names_it():
    rows = (stage("S1"), stage("S2", kind="electrical", after=("S1",), gap_days=1))
    both = choices(lambda at: 5.0, stages=rows)
    assert [s.after for s in both.stages] == [(), ("S1",)]


def test_a_roof_on_which_the_array_breaks_a_setback_is_left_out_with_the_shortfall():
    plain = branch()
    tight = replace(
        plain.planes[0], width_mm=20_000.0, slope_mm=2_500.0, array_left_mm=500.0, array_up_mm=300.0
    )
    ridge = Authority("Quill County", ridge_setback_mm=900.0)
    job = replace(plain.jobs[0], authority="Quill County")
    left_out = choices(lambda at: 5.0, planes=(tight,), jobs=(job,), authorities=(ridge,))
    assert left_out.placements == ()
    ((text, _, _),) = said(left_out.stages[0], "readiness")
    assert text.startswith("layout: ")
    assert "ridge" in text
    assert "mm" in text
