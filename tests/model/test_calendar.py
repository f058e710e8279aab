"""Working days, shifts and half-days; holidays by the holidays package, clocks by IANA."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise

import pytest

from crewplan.model import calendar
from crewplan.model.settings import Holidays, Settings


def settings(**changes: object) -> Settings:
    kept = {"name": "x", "timezone": "America/Chicago", "latitude": 46.8, "longitude": -92.1}
    return Settings(**(kept | changes))  # type: ignore[arg-type]


def test_a_holiday_is_no_working_day_and_the_company_may_open_all_the_same() -> None:
    memorial_day = date(2026, 5, 25)  # last Monday of May, 5 U.S.C. 6103(a)
    off = settings(holidays=Holidays("US", "MN"))
    assert not calendar.is_working_day(off, memorial_day)
    assert calendar.next_working_day(off, date(2026, 5, 22)) == date(2026, 5, 26)
    opened = settings(holidays=Holidays("US", "MN"), open_on=(memorial_day,))
    assert calendar.is_working_day(opened, memorial_day)


def test_the_companys_own_closed_day_is_skipped() -> None:
    closed = settings(closed_on=(date(2026, 5, 5),))
    assert calendar.working_days(closed, date(2026, 5, 4), 2) == (
        date(2026, 5, 4),
        date(2026, 5, 6),
    )


def test_a_branch_that_never_works_is_said_to_have_no_working_day() -> None:
    with pytest.raises(calendar.NoWorkingDay, match="no working day"):
        calendar.next_working_day(settings(workdays=()), date(2026, 5, 4))


def test_the_break_comes_out_of_the_middle_of_the_shift() -> None:
    (am, pm) = calendar.half_day_bounds(settings(), date(2026, 5, 4))
    # by hand: 07:00 + 9 h, middle 11:30, a quarter of an hour to each side
    assert [t.time() for t in (*am, *pm)] == [time(7), time(11, 15), time(11, 45), time(16)]


@pytest.mark.parametrize("shift_start", [time(7), time(7, 30), time(22)])
@pytest.mark.parametrize(
    "day", [date(2026, 5, 4), date(2026, 3, 8), date(2026, 11, 1), date(2026, 3, 7)]
)
def test_the_hours_of_a_shift_add_up_to_its_working_time_also_when_clocks_change(
    shift_start: time, day: date
) -> None:
    branch = settings(shift_start=shift_start)
    hours = calendar.shift_hours(branch, day)
    assert sum(hour.am_h + hour.pm_h for hour in hours) == pytest.approx(8.5)
    assert sum(hour.am_h for hour in hours) == pytest.approx(4.25)
    starts = [hour.start.astimezone(UTC) for hour in hours]
    assert all(b - a == timedelta(hours=1) for a, b in pairwise(starts))


def test_frozen_are_today_and_the_next_working_days() -> None:
    friday_evening = datetime(2026, 5, 8, 23, 30, tzinfo=UTC)  # still Friday in Chicago
    assert calendar.frozen_days(settings(), friday_evening) == {
        date(2026, 5, 8),
        date(2026, 5, 11),
        date(2026, 5, 12),
    }


def test_the_day_is_the_branchs_own_calendar_day() -> None:
    assert calendar.local_day(settings(), datetime(2026, 5, 4, 4, 59, tzinfo=UTC)) == date(
        2026, 5, 3
    )
