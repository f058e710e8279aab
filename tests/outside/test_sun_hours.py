"""Sunrise, sunset and polar days against the astral library and published almanac times."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from astral import Observer
from astral.sun import elevation, sunrise, sunset

from crewplan.weather.sun import elevation_deg, sun_up
from crewplan.weather.sun_hours import sun_hours

PLACES = [(46.8, -92.1), (-33.9, 151.2), (0.0, 0.0), (60.2, 24.9), (-45.0, -170.0), (69.6, 18.9)]


def _seconds(*instants):
    return np.array([int(at.timestamp()) for at in instants], dtype=np.int64)


@pytest.mark.parametrize("place", PLACES)
def test_elevation_is_that_of_astral_all_year(place):
    times = [datetime(2026, 1, 1, tzinfo=UTC) + timedelta(hours=37 * at) for at in range(236)]
    ours = elevation_deg(*place, _seconds(*times))[0]
    theirs = [elevation(Observer(*place), at, with_refraction=False) for at in times]
    np.testing.assert_allclose(ours, theirs, atol=1e-4)


@pytest.mark.parametrize("place", PLACES[:5])
@pytest.mark.parametrize("month", range(1, 13))
def test_the_sun_rises_and_sets_within_two_minutes_of_astral(place, month):
    day = date(2026, month, 20)
    slack = timedelta(minutes=2)
    rise, fall = sunrise(Observer(*place), day), sunset(Observer(*place), day)
    marks = _seconds(rise - slack, rise + slack, fall - slack, fall + slack)
    assert sun_up(*place, marks)[0].tolist() == [False, True, True, False]


@pytest.mark.parametrize(
    ("place", "rise", "fall"),
    [
        # US Naval Observatory, table of sunrise and sunset, Duluth, 21 June (CDT). From memory
        ((46.78, -92.11), "2026-06-21T10:15+00:00", "2026-06-22T02:06+00:00"),
        # the same, Greenwich at the equinox of 20 March: 06:03 and 18:14 UT. From memory
        ((51.48, 0.0), "2026-03-20T06:03+00:00", "2026-03-20T18:14+00:00"),
    ],
)
def test_published_times_of_sunrise_and_sunset_are_met_within_three_minutes(place, rise, fall):
    slack = timedelta(minutes=3)
    up, down = datetime.fromisoformat(rise), datetime.fromisoformat(fall)
    marks = _seconds(up - slack, up + slack, down - slack, down + slack)
    assert sun_up(*place, marks)[0].tolist() == [False, True, True, False]


def test_an_hour_is_light_only_if_the_sun_is_up_at_both_ends():
    place, day = (46.8, -92.1), date(2026, 11, 25)
    rise, fall = sunrise(Observer(*place), day), sunset(Observer(*place), day)
    hour = timedelta(hours=1)
    starts = [rise + timedelta(minutes=m) for m in (-30, 2)] + [
        fall - hour + timedelta(minutes=m) for m in (-2, 30)
    ]
    assert sun_hours(*place, _seconds(*starts)).light[0].tolist() == [False, True, True, False]


def test_frost_can_stand_from_sunset_to_two_hours_after_sunrise():
    place, day = (46.8, -92.1), date(2026, 11, 25)
    rise, fall = sunrise(Observer(*place), day), sunset(Observer(*place), day)
    hour, slack = timedelta(hours=1), timedelta(minutes=3)
    starts = [
        rise + 2 * hour - slack,  # begins before the two hours are over
        rise + 2 * hour + slack,
        fall - hour - slack,  # ends before sunset
        fall - hour + slack,
        fall + 3 * hour,
    ]
    frost = sun_hours(*place, _seconds(*starts)).frost[0].tolist()
    assert frost == [True, False, False, True, True]


def test_a_polar_day_is_all_light_and_without_frost_and_a_polar_night_the_reverse():
    tromso = (69.65, 18.96)
    june = [datetime(2026, 6, 21, hour, tzinfo=UTC) for hour in range(24)]
    december = [datetime(2026, 12, 21, hour, tzinfo=UTC) for hour in range(24)]
    summer, winter = sun_hours(*tromso, _seconds(*june)), sun_hours(*tromso, _seconds(*december))
    assert summer.light.all()
    assert not summer.frost.any()
    assert not winter.light.any()
    assert winter.frost.all()
