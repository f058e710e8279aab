"""Placements with overtime, by hand: two people from 7 to 16, half an hour off, no drive."""

import pytest
from builders import settings
from one_crew_week import by_clock, choose, left

from crewplan.model.calendar import shift_hours
from crewplan.model.people_rows import Crew


def offers(work_h, overtime_max_h, **changes):
    found, _ = choose(
        hours={"S1": left(("roof", work_h))},
        settings=settings(overtime_max_h=overtime_max_h),
        **changes,
    )
    return [p for p in found.placements if p.start == 0]


def test_an_hour_after_the_shift_saves_the_next_morning():
    # 18 person-hours: 17 in the shift, one after it
    plain, late = offers(18.0, 1.0)
    assert (len(plain.cells), plain.overtime_h, "overtime" in plain.cost) == (3, 0.0, False)
    assert (late.cells, late.overtime_h) == ((0, 1), 1.0)
    # at a mean of 35 an hour, half as much again
    assert late.cost["overtime"] == 5250
    assert late.cost["waiting"] < plain.cost["waiting"]


def test_before_the_last_day_all_overtime_is_worked():
    # 19 on the first day, 17 on the second: two person-hours of overtime on the first, none after
    plain, late = offers(36.0, 1.0)
    assert (len(plain.cells), len(late.cells)) == (5, 4)
    assert late.overtime_h == pytest.approx(2.0)
    assert late.short_h is None


def test_overtime_that_saves_no_half_day_is_not_offered():
    assert [p.overtime_h for p in offers(16.0, 1.0)] == [0.0]
    assert [p.overtime_h for p in offers(20.0, 1.0)] == [0.0]


def test_there_is_no_overtime_unless_a_setting_says_so():
    assert [p.overtime_h for p in offers(18.0, 0.0)] == [0.0]


def test_hours_after_the_shift_have_weather_of_their_own():
    shut = by_clock(lambda _, at: 0 if at.hour >= 16 else 3)
    assert [p.overtime_h for p in offers(18.0, 1.0, weather_at=shut)] == [0.0]
    found = offers(18.0, 1.0, weather_at=by_clock(lambda _, at: 3 if at.hour < 17 else 0))
    assert [p.overtime_h for p in found] == [0.0, 1.0]


def test_the_drive_back_comes_after_the_overtime():
    # 0.2 h each way: 2 x (8.5 - 0.4) = 16.2 in the shift, so 17 take 0.8 of overtime
    near = (Crew("A", 46.8 + 0.2 * 50 / 1.3 / 111.195, -92.1),)
    late = offers(17.0, 1.0, crews=near)[-1]
    assert late.overtime_h == pytest.approx(0.8, abs=1e-3)


def test_clock_hours_of_overtime_follow_the_shift_and_may_share_its_last_hour():
    hours = shift_hours(settings(shift_h=8.5), choose()[0].horizon.days[0], 1.0)
    assert [(h.start.hour, h.pm_h, h.over_h) for h in hours[-2:]] == [
        (15, 0.5, 0.5), (16, 0.0, 0.5),
    ]  # fmt: skip


def test_where_the_shift_is_too_short_for_the_drives_overtime_may_be_enough():
    # 4.5 h each way of 8.5 h: with 1.5 h after it one hour on site is left; 0.75 h of two people
    # on the roof end 1.25 h after the shift, the drive back included
    far = (Crew("A", 46.8 + 4.5 * 50 / 1.3 / 111.195, -92.1),)
    assert offers(1.5, 0.0, crews=far) == []
    (late,) = offers(1.5, 1.5, crews=far)
    assert len(late.cells) == 2
    assert late.overtime_h == pytest.approx(2.5, abs=1e-3)
