"""Wind measured by hand shuts the present, and nothing that is measured opens anything."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from builders import NOW, package_limits
from builders import settings as branch_settings
from hypothesis import given, settings
from hypothesis import strategies as st
from weather_cases import calm_rows, gate_branch, troubled_rows

from crewplan.model.reading import Reading
from crewplan.weather import day_verdicts, effective_limits
from crewplan.weather.readings import held_to_readings

DAY = date(2026, 5, 4)
ZONE = ZoneInfo("America/Chicago")
MPH = 0.44704
NINE = datetime(2026, 5, 4, 9, 0, tzinfo=ZONE)
LIMITS = effective_limits(package_limits(), ())
SETTINGS = branch_settings()
WAIT = timedelta(hours=0.5)
"""`reading_wait_h` where a branch says nothing."""


def _reading(gust_mph=None, mean_mph=None, at=NINE, **changes):
    values = {"where": "roof", "stage": "S1", "job": "J1", "crew": "Alder", "by": "Ann"} | changes
    mps = [None if mph is None else mph * MPH for mph in (mean_mph, gust_mph)]
    return Reading(at=at, mean_mps=mps[0], gust_mps=mps[1], **values)


def _calm(now=NINE):
    """A go for each exposure, asked at nine on the day."""
    told = day_verdicts(gate_branch(calm_rows(10), settings__weather_members=10), DAY, NOW)
    assert [one.verdict for one in told] == ["go", "go", "go"]
    noon = NINE + timedelta(hours=3)
    changes = {"stage": "S1", "job": "J1", "asked_at": now, "void_after": noon}
    return [replace(one, **changes) for one in told]


def _words(readings, now=NINE, crew="Alder"):
    return [one.verdict for one in held_to_readings(_calm(), readings, LIMITS, now, SETTINGS, crew)]


@pytest.mark.parametrize(
    ("gust_mph", "mean_mph", "told"),
    [
        # the package's limits: lift 26 mph gust and 17 mean, roof 35 and 23, ground 45
        (20, 10, ["go", "go", "go"]),
        (26, 17, ["go", "go", "go"]),
        (27, None, ["go", "go", "no-go"]),
        (None, 18, ["go", "go", "no-go"]),
        (36, None, ["go", "no-go", "no-go"]),
        (None, 24, ["go", "no-go", "no-go"]),
        (46, None, ["no-go", "no-go", "no-go"]),
        # a mean of 46 mph is a gust of at least that
        (None, 46, ["no-go", "no-go", "no-go"]),
    ],
)
def test_a_reading_over_a_limit_shuts_that_exposure_and_those_above_it(gust_mph, mean_mph, told):
    assert _words([_reading(gust_mph, mean_mph)]) == told


def test_what_was_measured_is_named_with_its_limit_and_the_present_hours_are_no_go():
    lift = held_to_readings(_calm(), [_reading(31)], LIMITS, NINE, SETTINGS, "Alder")[2]
    assert lift.why == (
        "measured on the roof at 09:00: gust 31 mph, over 26 mph; no-go until 09:30,"
        " and in each later hour of the day with as much gust forecast"
    )
    assert lift.windows == ()
    assert lift.void_after == NINE + WAIT
    words = {hour.hour.hour: hour.verdict for hour in lift.hours}
    assert (words[8], words[9], words[10]) == ("go", "no-go", "no-go")
    [nine] = [hour for hour in lift.hours if hour.hour == NINE]
    assert (nine.measure, nine.value, nine.p_go) == ("gust", pytest.approx(31 * MPH), 0.0)


def test_after_two_readings_the_wait_after_the_last_is_told_though_the_first_was_worse():
    later = NINE + timedelta(minutes=18)
    readings = [_reading(31), _reading(28, at=later)]
    lift = held_to_readings(_calm(), readings, LIMITS, later, SETTINGS, "Alder")[2]
    assert lift.why.startswith("measured on the roof at 09:00: gust 31 mph, over 26 mph;")
    assert "no-go until 09:48" in lift.why  # 9:18 and half an hour
    assert lift.void_after == later + WAIT


def _with_gusts(gusts_mps, now):
    """A calm day whose forecast has these gusts from seven o'clock on."""
    rows = calm_rows(10)
    for row in rows:
        at = row["valid_at"].astimezone(ZONE).hour - 7
        row["gust_mps"] = gusts_mps[at] if 0 <= at < len(gusts_mps) else 5.0
    told = day_verdicts(gate_branch(rows, settings__weather_members=10), DAY, NOW)
    changes = {"stage": "S1", "job": "J1", "asked_at": now}
    return [replace(one, **changes) for one in told]


def test_after_the_wait_hours_with_less_gust_in_the_forecast_open_again_and_others_not():
    # measured at 9:10 in an hour with 6 m/s forecast; from 12 h on less is forecast, 14 h has more
    now = NINE + timedelta(minutes=41)
    told = _with_gusts([5, 5, 6, 7, 6, 4, 4, 7, 4], now)
    reading = _reading(31, at=NINE + timedelta(minutes=10))
    lift = held_to_readings(told, [reading], LIMITS, now, SETTINGS, "Alder")[2]
    words = {hour.hour.astimezone(ZONE).hour: hour.verdict for hour in lift.hours}
    assert [words[at] for at in range(8, 16)] == [
        "go",
        "no-go",
        "no-go",
        "no-go",
        "go",
        "go",
        "no-go",
        "go",
    ]
    assert lift.verdict == "go"
    # 12 to 14 h is long enough for a lift, 15 to 16 h is not
    assert [(w.start.astimezone(ZONE).hour, w.end.astimezone(ZONE).hour) for w in lift.windows] == [
        (12, 14)
    ]
    assert lift.why.endswith("left is 12:00 to 14:00 (100%)")


def test_while_the_wait_lasts_no_window_is_told_and_the_branch_says_how_long():
    at = NINE + timedelta(minutes=10)
    now, told = at + timedelta(minutes=59), None
    for wait_h, word in ((1.0, "no-go"), (0.5, "go")):
        told = _with_gusts([5, 5, 6, 4, 4, 4, 4, 4, 4], now)
        own = branch_settings(reading_wait_h=wait_h)
        lift = held_to_readings(told, [_reading(31, at=at)], LIMITS, now, own, "Alder")[2]
        assert lift.verdict == word
        assert bool(lift.windows) == (word == "go")


def test_where_no_later_hour_has_less_gust_the_day_stays_shut():
    told = _words([_reading(31)], NINE + timedelta(hours=2))
    assert told == ["go", "go", "no-go"]  # the calm table has one gust all day


def test_an_hour_whose_forecast_gust_is_not_known_does_not_open_again():
    now = NINE + timedelta(hours=1)
    told = _with_gusts([5, 5, 6, 4, 4, 4, 4, 4, 4], now)
    lift = told[2]
    hours = tuple(replace(hour, gust_mps=None) for hour in lift.hours)
    held = held_to_readings(
        [replace(lift, hours=hours)], [_reading(31)], LIMITS, now, SETTINGS, "Alder"
    )[0]
    assert held.verdict == "no-go"


def test_a_lower_reading_after_it_takes_nothing_back():
    later = _reading(5, at=NINE + timedelta(minutes=20))
    assert _words([_reading(31), later], NINE + timedelta(minutes=25)) == ["go", "go", "no-go"]


@pytest.mark.parametrize(
    ("changes", "crew", "shuts"),
    [
        ({}, "Alder", True),
        ({"stage": "S9", "job": "J9"}, "Alder", True),
        ({"crew": "Birch"}, "Alder", True),
        ({"crew": "Birch", "stage": "", "job": "J1"}, "", True),
        ({"crew": "Birch", "stage": "S9", "job": "J9"}, "Alder", False),
        ({"stage": "", "job": "", "crew": ""}, "", False),
        ({"at": NINE - timedelta(days=1)}, "Alder", False),
    ],
)
def test_a_reading_counts_for_its_stage_its_job_and_its_crew_on_its_day(changes, crew, shuts):
    assert _words([_reading(40, **changes)], crew=crew)[2] == ("no-go" if shuts else "go")


_READINGS = st.builds(
    _reading,
    gust_mph=st.one_of(st.none(), st.floats(0, 90)),
    mean_mph=st.one_of(st.none(), st.floats(0, 60)),
    at=st.integers(-120, 600).map(lambda minutes: NINE + timedelta(minutes=minutes)),
    stage=st.sampled_from(["S1", "S2", ""]),
    job=st.sampled_from(["J1", "J2", ""]),
    crew=st.sampled_from(["Alder", "Birch", ""]),
)


@settings(max_examples=100, deadline=None)
@given(
    st.integers(0, 10**6),
    st.lists(_READINGS, max_size=4),
    _READINGS,
    st.integers(-60, 700),
    st.sampled_from(["Alder", ""]),
)
def test_adding_a_reading_never_adds_a_go(seed, some, one_more, minutes, crew):
    branch = gate_branch(troubled_rows(seed, 10, trouble=0.0005), settings__weather_members=10)
    now = NINE + timedelta(minutes=minutes)
    told = [replace(v, stage="S1", job="J1") for v in day_verdicts(branch, DAY, now)]
    steps = [
        told,
        held_to_readings(told, some, LIMITS, now, SETTINGS, crew),
        held_to_readings(told, [one_more, *some], LIMITS, now, SETTINGS, crew),
    ]
    for before, after in pairwise(steps):
        for was, now_is in zip(before, after, strict=True):
            assert now_is.verdict != "go" or was.verdict == "go"
            for window in now_is.windows:
                assert any(
                    one.start <= window.start and window.end <= one.end and window.p_go <= one.p_go
                    for one in was.windows
                )
            assert was.void_after is None or now_is.void_after <= was.void_after
            for hour_was, hour_is in zip(was.hours, now_is.hours, strict=True):
                assert hour_is.verdict != "go" or hour_was.verdict == "go"
                assert hour_is.p_go <= hour_was.p_go


def test_on_the_night_that_clocks_go_forward_the_wait_is_half_an_hour_of_real_time():
    # 2026-03-08: 01:59 is followed by 03:00; measured at 01:40, so shut until 03:10
    night, told = datetime(2026, 3, 8, tzinfo=ZONE), _calm()[2]
    opening = [night.astimezone(UTC) + timedelta(hours=at) for at in range(4)]
    gusts = (5.0, 6.0, 4.0, 4.0)
    hours = tuple(
        replace(told.hours[0], hour=at.astimezone(ZONE), gust_mps=gust)
        for at, gust in zip(opening, gusts, strict=True)
    )
    now = opening[3] + timedelta(minutes=1)
    asked = replace(told, day=night.date(), hours=hours, asked_at=now.astimezone(ZONE), windows=())
    reading = _reading(31, at=night.replace(hour=1, minute=40))
    held = held_to_readings([asked], [reading], LIMITS, now, SETTINGS, "Alder")[0]
    assert [(hour.hour.hour, hour.verdict) for hour in held.hours] == [
        (0, "go"),
        (1, "no-go"),
        (3, "no-go"),
        (4, "go"),
    ]


def test_on_the_night_that_clocks_go_back_a_reading_is_of_its_own_hour_of_the_two():
    # 2026-11-01: 01:00 to 02:00 comes twice; measured at 01:10 of the second, forecast 4 m/s then
    night, told = datetime(2026, 11, 1, tzinfo=ZONE), _calm()[2]
    opening = [night.astimezone(UTC) + timedelta(hours=at) for at in range(5)]
    gusts = (5.0, 9.0, 4.0, 5.0, 3.0)
    hours = tuple(
        replace(told.hours[0], hour=at.astimezone(ZONE), gust_mps=gust)
        for at, gust in zip(opening, gusts, strict=True)
    )
    now = opening[4]
    asked = replace(told, day=night.date(), hours=hours, asked_at=now.astimezone(ZONE), windows=())
    at = (opening[2] + timedelta(minutes=10)).astimezone(ZONE)
    held = held_to_readings([asked], [_reading(31, at=at)], LIMITS, now, SETTINGS, "Alder")[0]
    assert [hour.verdict for hour in held.hours] == ["go", "go", "no-go", "no-go", "go"]
