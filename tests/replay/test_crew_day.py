"""A crew's day, hour by hour. Shift 7 to 16 with half an hour's break: 8.5 h; hours by hand."""

from collections import defaultdict
from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from builders import settings

from crewplan.placing.travel import drive_h
from crewplan.replay.crew_day import StepLeft, Team, Visit, crew_day

DAY = date(2026, 5, 4)
FIRST_S = int(datetime(2026, 5, 4, 0, tzinfo=ZoneInfo("America/Chicago")).timestamp())
BASE = (46.8, -92.1)
TEAM = Team("Blue", BASE, 2, 2.0)
GROUND, ROOF, LIFT = 0, 1, 2


def hours_open(shut=()):
    """[3, 24]: all open but for (exposure, hour of the day) pairs; what shuts one shuts above."""
    found = np.ones((3, 24), dtype=np.bool_)
    for exposure, hour in shut:
        found[exposure:, hour] = False
    return found


def roof(stage="S1", lift_h=4.0, spot=BASE):
    """Twelve person-hours: 4 on the ground first, 4 of rails on the roof, then the lift."""
    return Visit(
        stage,
        spot,
        [
            StepLeft("unload", "ground", (), 4.0, 4.0),
            StepLeft("rails", "roof", (), 4.0, 4.0),
            StepLeft("lift", "lift", ("unload", "rails"), lift_h, lift_h),
        ],
    )


def sums(entries):
    found = defaultdict(float)
    for entry in entries:
        found[entry.what] += entry.person_h
    return dict(found)


def day(visits, opened=None):
    opened = hours_open() if opened is None else opened
    return crew_day(settings(), DAY, TEAM, visits, opened, FIRST_S)


def test_in_open_weather_work_is_done_and_the_rest_of_the_day_is_idle():
    visit = roof()
    assert sums(day([visit])) == pytest.approx({"work": 12.0, "idle": 5.0})  # 2 people x 8.5 h
    assert visit.done


def test_an_hour_in_which_no_step_can_be_done_is_lost_and_paid():
    visit = roof()
    # ground and roof work take the first four hours; then the lift alone is left and shut to two
    told = day([visit], hours_open([(LIFT, hour) for hour in (11, 12, 13)]))
    lost = [entry for entry in told if entry.what == "lost"]
    assert {datetime.fromtimestamp(e.start_s, ZoneInfo("America/Chicago")).hour for e in lost} == {
        11, 12, 13,
    }  # fmt: skip
    assert visit.done


def test_the_ground_fills_hours_in_which_the_roof_is_shut():
    visit = roof()
    told = day([visit], hours_open([(ROOF, 7), (ROOF, 8)]))
    assert [entry.step for entry in told[:2]] == ["unload", "unload"]
    assert "lost" not in sums(told)


def test_what_is_not_done_stays_for_another_day():
    visit = roof(lift_h=20.0)
    assert sums(day([visit])) == pytest.approx({"work": 17.0})
    assert visit.steps[2].left_h == pytest.approx(11.0)
    again = day([visit])
    assert sums(again) == pytest.approx({"work": 11.0, "idle": 6.0})


def test_drives_are_paid_and_the_way_home_is_kept_free():
    away = (46.8, -91.8)
    one_way_h = drive_h(settings(), *BASE, *away)
    told = sums(day([roof(lift_h=40.0, spot=away)]))
    assert told["drive"] == pytest.approx(2 * 2 * one_way_h)
    assert told["work"] == pytest.approx(17.0 - 4 * one_way_h)


def test_a_crew_that_is_done_early_goes_on_only_where_two_hours_are_left():
    near, late = roof("S1"), roof("S2")
    assert sums(day([near, late])) == pytest.approx({"work": 17.0})  # 5 person-hours are 2.5 h
    first, none = roof("S1", lift_h=6.0), roof("S2")
    told = day([first, none])
    assert sums(told) == pytest.approx({"work": 14.0, "idle": 3.0})
    assert not any(step.left_h < step.whole_h for step in none.steps)


def test_a_crew_without_orders_is_stood_down_all_day():
    assert sums(day([])) == pytest.approx({"stood down": 17.0})


def test_every_minute_of_the_shift_is_in_exactly_one_entry():
    shut = [(ROOF, 9), (GROUND, 13), (LIFT, 10)]
    for visits in ([], [roof()], [roof("S1", spot=(46.9, -92.0)), roof("S2")]):
        assert sum(e.person_h for e in day(visits, hours_open(shut))) == pytest.approx(17.0)


def test_hours_of_which_nothing_is_known_are_lost():
    told = sums(crew_day(settings(), DAY, TEAM, [roof()], np.ones((3, 9), np.bool_), FIRST_S))
    assert told["lost"] == pytest.approx(17.0 - 4.0)  # 7 and 8 o'clock lie in the record


def test_a_crew_that_leaves_a_job_open_at_midday_is_at_the_next_site_in_the_afternoon():
    first, second = replace(roof(lift_h=40.0), until_noon=True), roof("S2")
    told = day([first, second])
    by_stage = defaultdict(float)
    for entry in told:
        by_stage[entry.stage, entry.what] += entry.person_h
    # 4.25 h before the break, two people; the afternoon is the other job's
    assert by_stage["S1", "work"] == pytest.approx(8.5)
    assert by_stage["S2", "work"] == pytest.approx(8.5)


def test_a_crew_that_waits_out_a_shut_morning_still_leaves_at_midday():
    shut = hours_open([(GROUND, hour) for hour in range(7, 12)])
    told = sums(day([replace(roof(), until_noon=True), roof("S2")], shut))
    assert told["lost"] >= 8.5
    assert told["work"] > 0
