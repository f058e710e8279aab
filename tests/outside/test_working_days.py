"""Working days between two days, against the holidays package day by day, for two countries."""

from datetime import date, timedelta

import holidays
import numpy as np
import pytest

from crewplan.model.settings import Holidays
from crewplan.readiness.day_clock import CALENDAR, working_clock

YEARS = range(2024, 2028)
PLACES = [("US", "MN"), ("DE", "BY")]


def one_by_one(off, first, last):
    """Working days after `first` up to and with `last`, counted plainly."""
    day, count = first, 0
    while day < last:
        day += timedelta(days=1)
        count += day.weekday() < 5 and day not in off
    return count


@pytest.mark.parametrize(("country", "subdivision"), PLACES)
def test_every_span_of_three_years_counts_as_it_does_day_by_day(country, subdivision):
    off = holidays.country_holidays(country, subdiv=subdivision, years=YEARS)
    clock = working_clock(Holidays(country, subdivision), YEARS)
    rng = np.random.default_rng(5)
    start = date(2024, 1, 1)
    for begin, length in zip(rng.integers(0, 1000, 300), rng.integers(0, 90, 300), strict=True):
        first = start + timedelta(days=int(begin))
        last = first + timedelta(days=int(length))
        counted = clock.between(first.toordinal(), last.toordinal())
        assert counted == one_by_one(off, first, last), (first, last)


@pytest.mark.parametrize(("country", "subdivision"), PLACES)
def test_a_deadline_leaves_the_days_and_a_later_one_does_not(country, subdivision):
    clock = working_clock(Holidays(country, subdivision), YEARS)
    rng = np.random.default_rng(6)
    for ahead, count in zip(rng.integers(0, 700, 200), rng.integers(1, 40, 200), strict=True):
        wanted = date(2025, 1, 1) + timedelta(days=int(ahead))
        by = clock.latest_before(wanted, int(count))
        later = by + timedelta(days=1)
        assert clock.between(by.toordinal(), wanted.toordinal()) >= count
        assert clock.between(later.toordinal(), wanted.toordinal()) < count or (
            # a day off in between: asked on it is asked on the day before
            clock.between(by.toordinal(), later.toordinal()) == 0
        )


def test_the_two_countries_count_a_week_in_may_differently():
    # 25 May 2026 is Memorial Day and, in Bavaria, Whit Monday; 14 May is Ascension Day there
    asked, granted = date(2026, 5, 11).toordinal(), date(2026, 5, 29).toordinal()
    assert working_clock(Holidays("US", "MN"), YEARS).between(asked, granted) == 13
    assert working_clock(Holidays("DE", "BY"), YEARS).between(asked, granted) == 12
    assert working_clock(None, YEARS).between(asked, granted) == 14
    assert CALENDAR.between(asked, granted) == 18
