"""Drive, break and clock changes: hours by hand."""

from datetime import UTC, date, time

import numpy as np
import pytest
from builders import settings

from crewplan.placing.timeline import shift_of_days, timeline
from crewplan.placing.travel import distance_km, drive_h


def line_of(drive, people=2, day_count=1, **changes):
    days = tuple(date(2026, 5, 4 + i) for i in range(day_count))
    _, shifts = shift_of_days(settings(**changes), days)
    count = np.full(day_count, people)
    return timeline(shifts, tuple(range(day_count)), count * 1.0, count, drive)


def test_one_degree_along_a_meridian_is_a_ninetieth_of_the_quarter_of_the_earth():
    # by hand: 6371.0088 km x pi / 180 = 111.195 km
    assert distance_km(46.0, -92.0, 47.0, -92.0) == pytest.approx(111.195, abs=0.001)


def test_the_road_is_longer_than_the_straight_line():
    # by hand: 111.195 km x 1.3 / 50 km/h = 2.891 h
    assert drive_h(settings(), 46.0, -92.0, 47.0, -92.0) == pytest.approx(2.891, abs=0.001)


def test_the_break_lies_between_the_half_days_and_is_no_work():
    # by hand: 9 h shift less half an hour, two people: 4.25 x 2 each half-day
    line = line_of(0.0)
    assert list(line.ends) == [8.5, 17.0]


def test_drives_lie_at_the_first_and_the_last_half_day_of_the_day():
    line = line_of(1.0)
    # by hand, two people: morning alone 4.25 - 2; the day 8.5 - 2; afternoon alone 4.25 - 2
    assert list(line.ends) == pytest.approx([4.5, 13.0])
    assert line.ends[1] - line.starts[1] == pytest.approx(4.5)


def test_a_half_day_too_short_for_both_drives_is_no_visit_but_the_day_is():
    line = line_of(2.5)
    assert list(line.may_start) == [True, False]
    assert line.ends[0] < 0  # nothing can end at noon
    assert line.ends[1] == pytest.approx(2 * (8.5 - 5.0))


def test_a_site_farther_than_half_the_day_is_out_of_reach():
    assert line_of(4.5).cells == ()


def test_every_day_is_driven_out_and_back():
    # by hand, two people: two days of 8.5 - 2 h
    assert line_of(1.0, day_count=2).ends[-1] == pytest.approx(26.0)


def test_a_week_with_a_clock_change_keeps_the_local_shift_and_its_length():
    # US clocks went to daylight saving time on Sunday 2026-03-08 (IANA)
    hours, shifts = shift_of_days(settings(), (date(2026, 3, 6), date(2026, 3, 9)))
    sevens = [at.astimezone(UTC).hour for at in hours if at.hour == 7]
    assert sevens == [13, 12]
    assert [(shift.am_h, shift.pm_h) for shift in shifts] == [(4.25, 4.25)] * 2


@pytest.mark.parametrize("day", [date(2026, 3, 8), date(2026, 11, 1)])
def test_a_shift_over_the_change_itself_has_its_full_hours(day):
    _, (shift,) = shift_of_days(settings(shift_start=time(0)), (day,))
    assert shift.am_h + shift.pm_h == pytest.approx(8.5)
    assert all(a[2] == b[1] for a, b in zip(shift.pieces, shift.pieces[1:], strict=False))
