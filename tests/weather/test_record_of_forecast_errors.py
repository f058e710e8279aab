"""A branch's own record of forecast errors: counts where it is long enough, and only ever shuts."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from builders import NOW, weather
from hypothesis import given, settings
from hypothesis import strategies as st
from test_nothing_adds_a_go import _nothing_added, _worsened
from weather_cases import CALM, DULUTH, HOUR, MONDAY_7, calm_rows, gate_branch, troubled_rows

from crewplan.model.error_rows import LEAST_PAIRS, ForecastError
from crewplan.weather import day_verdicts, open_hours
from crewplan.weather.calibration import Record
from crewplan.weather.learned_error import learned_errors
from crewplan.weather.learning import learn_errors

DAY = date(2026, 5, 4)
STARTS = [MONDAY_7 + at * HOUR for at in range(9)]


def _errors(sd=2.0, skill=0.8, spread=1.0, pairs=LEAST_PAIRS):
    return tuple(
        ForecastError(measure, lead_h, skill - 0.1 * at, sd + 0.5 * at, spread, pairs)
        for measure in ("wind", "gust")
        for at, lead_h in enumerate((24.0, 72.0))
    )


def _past(wind=5.0, gust=8.0):
    """Five weeks of the same weather a year before."""
    first = MONDAY_7 - timedelta(days=380)
    return weather(
        [
            CALM | {"valid_at": first + at * HOUR, "wind_mps": wind, "gust_mps": gust, "member": ""}
            for at in range(35 * 24)
        ]
    )


_RECORDS = st.builds(_errors, sd=st.floats(0.3, 5), skill=st.floats(0.2, 1), spread=st.floats(0, 3))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.sampled_from([1, 9, 10, 21]), _RECORDS, st.booleans())
def test_a_record_never_opens_an_hour_of_a_verdict(seed, members, errors, with_past):
    rows = troubled_rows(seed, members, trouble=0.0005)
    tables = {"weather_past": _past()} if with_past else {}
    was = day_verdicts(gate_branch(rows, **tables), DAY, NOW)
    now_is = day_verdicts(gate_branch(rows, forecast_errors=errors, **tables), DAY, NOW)
    for before, after in zip(was, now_is, strict=True):
        for one, other in zip(before.hours, after.hours, strict=True):
            assert other.p_go <= one.p_go
            assert other.verdict != "go" or one.verdict == "go"


@settings(max_examples=80, deadline=None)
@given(st.data(), st.integers(0, 10**6), st.sampled_from([1, 9, 10, 21]), _RECORDS)
def test_also_with_a_record_less_or_worse_news_never_adds_a_go(data, seed, members, errors):
    rows = troubled_rows(seed, members, trouble=0.0005)
    more = {
        "settings__weather_members": members,
        "forecast_errors": errors,
        "weather_past": _past(),
    }
    _nothing_added(gate_branch(rows, **more), gate_branch(_worsened(rows, data), **more))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), _RECORDS, st.integers(0, 11), st.floats(0, 12))
def test_more_wind_in_one_member_never_means_less_in_any_other(seed, errors, member, more):
    rng = np.random.default_rng(seed)
    told = {name: rng.uniform(0, 20, (12, 5)) for name in ("wind", "gust")}
    raised = {name: value.copy() for name, value in told.items()}
    raised["wind"][member] += more
    record = Record(learned_errors(errors), {"wind": np.full(5, 4.0), "gust": np.full(5, 7.0)})
    hours_s, lead_h = np.arange(5) * 3600, np.full((12, 5), 30.0)
    for helping in (False, True):
        before = record.calibrated(told, lead_h, hours_s, helping=helping)
        after = record.calibrated(raised, lead_h, hours_s, helping=helping)
        assert (after["wind"] >= before["wind"] - 1e-9).all()


@pytest.mark.parametrize("members", [1, 21])
def test_p_go_of_a_window_is_at_most_that_of_each_of_its_hours_also_with_a_record(members):
    held = gate_branch(
        calm_rows(members, wind_mps=5.0, gust_mps=7.0), forecast_errors=_errors(sd=1.7)
    )
    found = [one for one in day_verdicts(held, DAY, NOW) if one.windows]
    assert found
    for verdict in found:
        for window in verdict.windows:
            inside = [h.p_go for h in verdict.hours if window.start <= h.hour < window.end]
            assert window.p_go <= min(inside)


def test_a_record_that_is_too_short_changes_nothing_and_says_so():
    rows = calm_rows(1)
    was = day_verdicts(gate_branch(rows), DAY, NOW)
    now_is = day_verdicts(
        gate_branch(rows, forecast_errors=_errors(pairs=LEAST_PAIRS - 1)), DAY, NOW
    )
    assert [one.hours for one in now_is] == [one.hours for one in was]
    assert any("record of gust is too short to count" in line for line in now_is[2].sources)


def test_with_one_forecast_a_verdict_takes_the_larger_error_and_says_which_record_it_has():
    rows = calm_rows(1, gust_mps=9.0)
    plain = day_verdicts(gate_branch(rows), DAY, NOW)[2]
    small = day_verdicts(gate_branch(rows, forecast_errors=_errors(sd=0.5)), DAY, NOW)[2]
    large = day_verdicts(gate_branch(rows, forecast_errors=_errors(sd=4.0)), DAY, NOW)[2]
    assert [hour.p_go for hour in small.hours] == [hour.p_go for hour in plain.hours]
    assert all(a.p_go < b.p_go for a, b in zip(large.hours, plain.hours, strict=True))
    said = "error of gust from this branch's record (400 hours): the larger of it and the assumed"
    assert any(line.startswith(said) for line in large.sources)


def test_planning_takes_the_branchs_own_error_also_where_it_is_smaller():
    rows = calm_rows(1, gust_mps=10.5, wind_mps=6.0)
    plain = open_hours(gate_branch(rows), STARTS, NOW, *DULUTH, purpose="planning")
    own = open_hours(
        gate_branch(rows, forecast_errors=_errors(sd=0.3, skill=1.0)),
        STARTS,
        NOW,
        *DULUTH,
        purpose="planning",
    )
    assert own.good[2].mean() > plain.good[2].mean()
    assert any("own record of forecast errors" in note for note in own.notes)


def test_as_skill_is_lost_planning_draws_a_windy_forecast_to_the_months_mean():
    rows = calm_rows(21, wind_mps=9.0, gust_mps=13.0)  # over both limits of a lift
    errors = _errors(sd=1.0, skill=0.5, spread=1.0)
    shares = {
        name: open_hours(
            gate_branch(rows, forecast_errors=errors, **past),
            STARTS,
            NOW,
            *DULUTH,
            purpose="planning",
        )
        .good[2]
        .mean()
        for name, past in (("none", {}), ("calm", {"weather_past": _past(2.0, 3.0)}))
    }
    assert shares["calm"] > shares["none"]
    assert day_verdicts(gate_branch(rows, forecast_errors=errors), DAY, NOW)[2].verdict == "no-go"


def _kept(rng, days, climate, skill, sd, members):
    """Forecasts of 24 h whose error is known: what came is climate + skill x away + noise."""
    first = datetime(2025, 4, 1, tzinfo=UTC)
    past, tables = [], []
    for day in range(days):
        rows = []
        for hour in range(24):
            at = first + timedelta(days=day, hours=hour)
            centre = climate + rng.normal(0, 3)
            came = climate + skill * (centre - climate) + rng.normal(0, sd)
            past.append({"valid_at": at, "wind_mps": came, "gust_mps": 1.5 * came, "member": ""})
            rows += [
                {
                    "valid_at": at,
                    "issued_at": first + timedelta(days=day),
                    "member": str(member),
                    "wind_mps": centre + rng.normal(0, 0.5),
                    "gust_mps": 1.5 * centre,
                }
                for member in range(members)
            ]
        tables.append(weather(rows))
    return tables, weather(past)


def test_the_record_that_is_learned_is_the_error_that_the_forecasts_were_made_with():
    tables, past = _kept(np.random.default_rng(5), 60, 10.0, 0.7, 1.2, members=8)
    (wind, gust) = learn_errors(tables, past, ZoneInfo("America/Chicago"))
    assert (wind.measure, wind.lead_h, wind.pairs) == ("wind", 24.0, 60 * 24)
    # made with 0.7, 1.2 m/s and members 0.5 m/s apart; three standard errors of 1,440 hours
    assert wind.skill == pytest.approx(0.7, abs=0.04)
    assert wind.sd_mps == pytest.approx(1.2, abs=0.08)
    assert wind.spread_mps == pytest.approx(0.5, abs=0.03)
    assert gust.spread_mps == 0
    assert gust.sd_mps == pytest.approx(1.8, abs=0.12)


def test_hours_without_an_observation_teach_nothing():
    tables, past = _kept(np.random.default_rng(5), 3, 10.0, 1.0, 1.0, members=1)
    empty = replace(past, wind_mps=np.full(len(past), np.nan))
    assert {row.measure for row in learn_errors(tables, empty, ZoneInfo("UTC"))} == {"gust"}
    assert learn_errors(tables, weather(), ZoneInfo("UTC")) == ()
