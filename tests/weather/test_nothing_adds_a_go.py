"""Less or worse news never opens anything: not an hour, not a window, not a day."""

from datetime import date, timedelta

import numpy as np
from builders import NOW, package_limits
from hypothesis import given, settings
from hypothesis import strategies as st
from weather_cases import CALM, DULUTH, HOUR, calm_rows, gate_branch, troubled_rows

from crewplan.model.limit_row import Limit
from crewplan.model.work_rows import EXPOSURES
from crewplan.weather import day_verdicts, open_hours

DAY = date(2026, 5, 4)
VALUES = ("wind_mps", "gust_mps", "rain_mm", "temperature_c", "humidity_pct", "thunder")
RAISED = {"wind_mps": (0.1, 1.0, 5.0), "gust_mps": (0.1, 2.0, 9.0), "rain_mm": (0.01, 0.2, 3.0)}


def _judge(rows, members, **tables):
    return gate_branch(rows, settings__weather_members=members, **tables)


def _nothing_added(before, after, now=NOW):
    old, new = day_verdicts(before, DAY, now), day_verdicts(after, DAY, now)
    for row, (was, now_is) in enumerate(zip(old, new, strict=True)):
        went = {hour.hour for hour in was.hours if hour.verdict == "go"}
        goes = {hour.hour for hour in now_is.hours if hour.verdict == "go"}
        assert goes <= went
        for hour_was, hour_is in zip(was.hours, now_is.hours, strict=True):
            assert hour_is.p_go <= hour_was.p_go
        assert now_is.verdict != "go" or was.verdict == "go"
        starts = [hour.hour for hour in was.hours]
        good = open_hours(before, starts, now, *DULUTH, purpose="gate").good[row]
        for window in now_is.windows:
            inside = [at for at, start in enumerate(starts) if window.start < start + HOUR]
            inside = [at for at in inside if starts[at] < window.end]
            assert {starts[at] for at in inside} <= went
            could = good[:, inside].all(axis=1).mean()
            assert window.p_go <= could
            assert could >= before.settings.gate_probability


def _worsened(rows, data):
    """The table with one thing missing, older or worse."""
    rows = [dict(row) for row in rows]
    at = data.draw(st.integers(0, len(rows) - 1), label="row")
    what = data.draw(
        st.sampled_from(["empty", "age", "hide issue", "remove", "remove member", "raise"]),
        label="what",
    )
    several = data.draw(st.sampled_from([False, False, True]), label="all of its interval")
    chosen = [row for row in rows if several and row["valid_at"] == rows[at]["valid_at"]]
    for row in chosen or [rows[at]]:
        if what == "empty":
            row[data.draw(st.sampled_from(VALUES), label="value")] = None
        elif what == "age" and row["issued_at"] is not None and row["issued_at"] <= NOW:
            row["issued_at"] -= data.draw(st.integers(1, 40), label="hours older") * HOUR
        elif what == "hide issue":
            row["issued_at"] = None
        elif what == "raise":
            value = data.draw(st.sampled_from(sorted(RAISED)), label="value")
            if row[value] is not None:
                row[value] += data.draw(st.sampled_from(RAISED[value]), label="by")
    if what == "remove":
        gone = {id(row) for row in chosen or [rows[at]]}
        rows = [row for row in rows if id(row) not in gone]
    if what == "remove member":
        rows = [row for row in rows if row["member"] != rows[at]["member"]]
    return rows


@settings(max_examples=150, deadline=None)
@given(st.data(), st.integers(0, 10**6), st.sampled_from([1, 2, 5, 9, 10, 11, 21]))
def test_a_value_row_or_member_that_is_missing_older_or_worse_never_adds_a_go(data, seed, members):
    rows = troubled_rows(seed, members, trouble=0.0005)
    _nothing_added(_judge(rows, members), _judge(_worsened(rows, data), members))


@settings(max_examples=60, deadline=None)
@given(st.data(), st.sampled_from([1, 9, 10]), st.floats(3.0, 12.0), st.floats(0.0, 8.0))
def test_more_wind_or_rain_never_adds_a_go_near_the_limits(data, members, wind, more_gust):
    rows = [
        row
        | {
            "wind_mps": wind + 0.2 * int(row["member"]),
            "gust_mps": wind + more_gust + 0.3 * int(row["member"]),
        }
        for row in calm_rows(members)
    ]
    _nothing_added(_judge(rows, members), _judge(_worsened(rows, data), members))


@settings(max_examples=40, deadline=None)
@given(st.sampled_from([1, 9, 10]), st.sampled_from(VALUES), st.integers(0, 11), st.data())
def test_an_hour_without_fresh_data_for_a_needed_measure_is_never_go(members, value, at, data):
    rows = calm_rows(members)
    member = data.draw(st.integers(0, members - 1))
    row = rows[12 * member + at]
    how = data.draw(st.sampled_from(["empty", "old", "future", "issue unknown", "gone"]))
    if how == "empty":
        row[value] = None
    elif how == "gone":
        rows.remove(row)
    else:
        row["issued_at"] = {
            "old": NOW - 12 * HOUR - timedelta(seconds=1),
            "future": NOW + timedelta(seconds=1),
            "issue unknown": None,
        }[how]
    needed_by_ground = how != "empty" or value not in ("wind_mps", "rain_mm")
    later = value in ("rain_mm", "thunder") or how != "empty"
    for verdict in day_verdicts(_judge(rows, members), DAY, NOW):
        if verdict.exposure == "ground" and not needed_by_ground:
            continue
        for hour in verdict.hours:
            if hour.hour == row["valid_at"] or (later and hour.hour == row["valid_at"] + HOUR):
                assert hour.verdict == "unknown"
                assert hour.value is None


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([10, 21]), st.sets(st.integers(0, 13), max_size=6))
def test_a_newer_issue_that_lacks_hours_adds_no_go_and_opens_none_of_them(seed, members, lacking):
    rows = [
        row | {"issued_at": NOW - 3 * HOUR} for row in troubled_rows(seed, members, trouble=0.0)
    ]
    first = min(row["valid_at"] for row in rows)
    newer = [
        row | {"issued_at": NOW}
        for row in rows
        if int((row["valid_at"] - first) / HOUR) not in lacking
    ]
    before, after = _judge(rows, members), _judge(newer, members)
    _nothing_added(before, after)
    gone = {row["valid_at"] for row in rows} - {row["valid_at"] for row in newer}
    for verdict in day_verdicts(after, DAY, NOW):
        for hour in verdict.hours:
            if any(hour.hour <= at < hour.hour + HOUR for at in gone):
                assert hour.verdict != "go"


def test_the_calm_table_of_these_tests_is_a_go_until_something_is_taken_from_it():
    for members in (1, 9, 10):
        words = [
            verdict.verdict for verdict in day_verdicts(_judge(calm_rows(members), None), DAY, NOW)
        ]
        assert words == ["go", "go", "go"]


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1, 10]))
def test_the_order_of_rows_changes_nothing(seed, members):
    rows = troubled_rows(seed, members)
    turned = list(reversed(rows))
    before = day_verdicts(_judge(rows, members), DAY, NOW)
    after = day_verdicts(_judge(turned, members), DAY, NOW)
    assert before == after


_LIMITS = st.builds(
    Limit,
    exposure=st.sampled_from(EXPOSURES),
    measure=st.sampled_from(
        [
            "wind",
            "gust",
            "rain",
            "wet",
            "film",
            "frost",
            "temperature_low",
            "temperature_high",
        ]
    ),
    at_most=st.one_of(st.none(), st.floats(-30, 60)),
    source=st.sampled_from(["", "our own rule"]),
    effect=st.sampled_from(["stop", "caution"]),
)


def _goes(branch):
    return [
        {hour.hour for hour in verdict.hours if hour.verdict == "go"}
        for verdict in day_verdicts(branch, DAY, NOW)
    ]


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 10**6), st.lists(_LIMITS, max_size=3), st.sampled_from([1, 10]))
def test_no_row_of_limits_opens_what_the_package_shuts_unless_it_names_the_same(
    seed, folder, members
):
    package = package_limits()
    named = {(row.exposure, row.measure) for row in folder if row.effect == "stop"}
    rest = tuple(
        row
        for row in package
        if (row.exposure, row.measure) not in named or row.effect == "caution"
    )
    rows = troubled_rows(seed, members, trouble=0.0005)
    with_folder = _goes(_judge(rows, members, limits=tuple(folder)))
    without_named = _goes(_judge(rows, members, package_limits=rest))
    for goes, allowed in zip(with_folder, without_named, strict=True):
        assert goes <= allowed
    if not named:
        for goes, allowed in zip(with_folder, _goes(_judge(rows, members)), strict=True):
            assert goes <= allowed


def test_of_one_forecast_the_share_falls_as_the_gust_rises_and_is_never_one():
    shares = []
    for gust in np.arange(4.0, 16.0, 0.25):
        rows = [CALM | row | {"gust_mps": float(gust)} for row in calm_rows(1)]
        hours = day_verdicts(_judge(rows, None), DAY, NOW, exposures=("lift",))[0].hours
        shares.append([hour.p_go for hour in hours])
    assert (np.diff(np.array(shares), axis=0) <= 0).all()
    assert max(map(max, shares)) == 0.99
    assert min(map(min, shares)) < 0.1
