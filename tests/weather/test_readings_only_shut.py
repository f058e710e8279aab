"""Wind measured by hand shuts the present, and nothing that is measured opens anything."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from builders import NOW, package_limits
from hypothesis import given, settings
from hypothesis import strategies as st
from weather_cases import calm_rows, gate_branch, troubled_rows

from crewplan.model.reading import Reading
from crewplan.weather import day_verdicts, effective_limits
from crewplan.weather.readings import READING_STANDS, held_to_readings

DAY = date(2026, 5, 4)
ZONE = ZoneInfo("America/Chicago")
MPH = 0.44704
NINE = datetime(2026, 5, 4, 9, 0, tzinfo=ZONE)
LIMITS = effective_limits(package_limits(), ())


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
    return [one.verdict for one in held_to_readings(_calm(), readings, LIMITS, now, crew)]


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
    lift = held_to_readings(_calm(), [_reading(31)], LIMITS, NINE, "Alder")[2]
    assert lift.why == (
        "measured on the roof at 09:00: gust 31 mph, over 26 mph; no-go until 10:00,"
        " then measure again"
    )
    assert lift.windows == ()
    assert lift.void_after == NINE + READING_STANDS
    words = {hour.hour.hour: hour.verdict for hour in lift.hours}
    assert (words[8], words[9], words[10]) == ("go", "no-go", "go")
    [nine] = [hour for hour in lift.hours if hour.hour == NINE]
    assert (nine.measure, nine.value, nine.p_go) == ("gust", pytest.approx(31 * MPH), 0.0)


def test_a_reading_stands_for_an_hour_and_no_longer():
    before, after = (NINE + READING_STANDS - timedelta(seconds=1), NINE + READING_STANDS)
    assert _words([_reading(31)], before) == ["go", "go", "no-go"]
    assert _words([_reading(31)], after) == ["go", "go", "go"]


def test_a_lower_reading_after_it_takes_nothing_back():
    later = _reading(5, at=NINE + timedelta(minutes=20))
    assert _words([_reading(31), later], NINE + timedelta(minutes=30)) == ["go", "go", "no-go"]


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
        held_to_readings(told, some, LIMITS, now, crew),
        held_to_readings(told, [one_more, *some], LIMITS, now, crew),
    ]
    for before, after in pairwise(steps):
        for was, now_is in zip(before, after, strict=True):
            assert now_is.verdict != "go" or was.verdict == "go"
            assert set(now_is.windows) <= set(was.windows)
            assert was.void_after is None or now_is.void_after <= was.void_after
            for hour_was, hour_is in zip(was.hours, now_is.hours, strict=True):
                assert hour_is.verdict != "go" or hour_was.verdict == "go"
                assert hour_is.p_go <= hour_was.p_go
