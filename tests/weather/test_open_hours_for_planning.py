"""Open hours for planning: older forecasts with wider error, and the season beyond the forecast."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from builders import NOW, weather
from weather_cases import CALM, DULUTH, HOUR, MONDAY_7, calm_rows, gate_branch

from crewplan.weather import day_verdicts, open_hours, open_hours_all

SHIFT = [MONDAY_7 + at * HOUR for at in range(9)]
GROUND, ROOF, LIFT = range(3)


def _open(rows, hours=SHIFT, now=NOW, purpose="planning", **changes):
    return open_hours(gate_branch(rows, **changes), hours, now, *DULUTH, purpose=purpose)


def test_the_axes_are_exposures_members_and_hours_in_the_order_asked_for():
    rows = calm_rows(10)
    for row in rows:
        if row["member"] == "2" and row["valid_at"] == MONDAY_7 + 4 * HOUR:
            row["gust_mps"] = 14.0
    told = _open(rows, list(reversed(SHIFT)))
    assert told.good.shape == told.hopeful.shape == (3, 10, 9)
    bad = np.argwhere(~told.good)
    assert bad.tolist() == [[LIFT, 2, 4]]
    assert told.known.all()
    assert told.distance_km == 0.0
    assert not told.notes


def test_missing_members_are_rows_that_are_never_good_but_may_be():
    told = _open(calm_rows(10), settings__weather_members=12)
    assert told.good.shape[1] == 12
    assert told.good[LIFT].sum(axis=0).tolist() == [10] * 9
    assert told.hopeful.all()
    assert not told.known.any()


def test_few_members_become_draws_and_a_last_row_that_is_never_good():
    told = _open(calm_rows(1))
    assert told.good.shape == (3, 100, 9)
    assert not told.good[:, -1].any()
    assert told.good[LIFT].mean(axis=0).max() == 0.99


def test_planning_takes_a_forecast_of_up_to_48_hours_and_says_so():
    rows = calm_rows(10, issued_at=NOW - 40 * HOUR)
    assert not _open(rows, purpose="gate").known.any()
    told = _open(rows)
    assert told.known.all()
    assert any("40 h old" in note and "wider error" in note for note in told.notes)
    old = _open(calm_rows(10, issued_at=NOW - 49 * HOUR))
    assert not old.known.any()
    assert not old.good.any()
    assert any("fresh enough" in note for note in old.notes)


def test_an_older_forecast_near_the_limit_is_planned_with_wider_error():
    shares = []
    for age in (0, 12, 20, 40):
        rows = calm_rows(21, gust_mps=11.4, wind_mps=6.0, issued_at=NOW - age * HOUR)
        shares.append(_open(rows).good[LIFT].mean())
    assert shares[0] == shares[1] == 1.0  # the ensemble's own spread is enough while it is fresh
    assert shares[1] > shares[2] >= shares[3] > 0.4


def _past(days, value=None, first=datetime(2025, 4, 24, 5, 0, tzinfo=UTC), **changes):
    """Calm hourly observations of whole local days; `value(day)` replaces some."""
    rows = []
    for day in range(days):
        for hour in range(24):
            row = CALM | {"valid_at": first + timedelta(days=day, hours=hour), "member": ""}
            rows.append(row | (value(day) if value else {}) | changes)
    return weather(rows)


THURSDAY = [MONDAY_7 + timedelta(days=3, hours=at) for at in range(9)]


def test_beyond_the_forecast_past_days_of_the_season_stand_in_for_the_members():
    past = _past(20, lambda day: {"gust_mps": 14.0, "wind_mps": 8.0} if day % 4 == 0 else {})
    told = _open(calm_rows(20), SHIFT + THURSDAY, weather_past=past)
    assert told.climatology.tolist() == [False] * 9 + [True] * 9
    # one day in four was too windy to lift; the first has no hour before it, but that is at night
    assert told.good[LIFT, :, 9:].mean() == pytest.approx(0.75)
    assert told.good[ROOF, :, 9:].all()
    assert told.known[:, 9:].all()
    assert any("past weather of the season" in note for note in told.notes)


def test_of_few_members_the_last_row_stays_never_good_beyond_the_forecast():
    told = _open(calm_rows(1), THURSDAY, weather_past=_past(20))
    assert told.good[:, :-1].all()
    assert not told.good[:, -1].any()


def test_hours_of_a_past_day_keep_together():
    past = _past(20, lambda day: {"gust_mps": 14.0, "wind_mps": 8.0} if day % 2 == 0 else {})
    good = _open(calm_rows(20), SHIFT + THURSDAY, weather_past=past).good[LIFT, :, 9:]
    assert (good == good[:, :1]).all()
    assert good[:, 0].mean() == pytest.approx(0.5)


def test_days_that_follow_each_other_are_taken_from_days_that_did():
    past = _past(24, lambda day: {"gust_mps": 14.0, "wind_mps": 8.0} if day % 2 == 0 else {})
    friday = [hour + timedelta(days=1) for hour in THURSDAY]
    good = _open(calm_rows(20), THURSDAY + friday, weather_past=past).good[LIFT]
    follows = (good[:, 0] != good[:, 9]).mean()
    assert follows > 0.9  # calm and windy days take turns


def test_the_same_folder_gives_the_same_picks():
    past = _past(20, lambda day: {"gust_mps": 14.0, "wind_mps": 8.0} if day % 3 == 0 else {})
    first, second = (
        _open(calm_rows(20), THURSDAY, weather_past=past).good.tolist() for _ in range(2)
    )
    assert first == second


@pytest.mark.parametrize("days", [0, 9])
def test_with_fewer_than_ten_past_days_nothing_beyond_the_forecast_is_open(days):
    told = _open(calm_rows(20), THURSDAY, weather_past=_past(days))
    assert not told.good.any()
    assert not told.known.any()
    assert not told.climatology.any()
    assert any("fewer than 10 past days" in note for note in told.notes)


def test_past_days_that_lack_a_value_or_lie_in_another_season_do_not_count():
    lacking = _past(20, humidity_pct=None)
    assert not _open(calm_rows(20), THURSDAY, weather_past=lacking).good.any()
    autumn = _past(20, first=datetime(2025, 9, 24, 5, 0, tzinfo=UTC))
    assert not _open(calm_rows(20), THURSDAY, weather_past=autumn).good.any()


def test_the_season_crosses_the_end_of_the_year():
    past = _past(20, first=datetime(2025, 12, 20, 6, 0, tzinfo=UTC))
    rows = calm_rows(20, first=datetime(2026, 12, 30, 12, 0, tzinfo=UTC))
    now = datetime(2026, 12, 30, 12, 0, tzinfo=UTC)
    rows = [row | {"issued_at": now} for row in rows]
    noon = [datetime(2027, 1, 2, 18, 0, tzinfo=UTC)]
    assert _open(rows, noon, now=now, weather_past=past).good[GROUND].all()


def test_the_gate_never_takes_the_season_for_a_forecast():
    branch = gate_branch(calm_rows(20), weather_past=_past(20))
    told = open_hours(branch, THURSDAY, NOW, *DULUTH, purpose="gate")
    assert not told.good.any()
    assert not told.climatology.any()
    thursday = THURSDAY[0].date()
    assert {v.verdict for v in day_verdicts(branch, thursday, NOW)} == {"unknown"}


def test_the_sun_of_the_day_itself_holds_beyond_the_forecast():
    night = [MONDAY_7 + timedelta(days=3, hours=-5)]
    told = _open(calm_rows(20), night, weather_past=_past(20))
    assert not told.good[ROOF].any()
    assert told.good[GROUND].all()


def test_out_of_reach_the_season_does_not_open_the_roof_either():
    branch = gate_branch(calm_rows(20), weather_past=_past(20))
    told = open_hours(branch, THURSDAY, NOW, DULUTH[0] + 0.3, DULUTH[1], purpose="planning")
    assert told.good[GROUND].all()
    assert not told.good[ROOF].any()
    assert not told.good[LIFT].any()
    assert any("km away" in note for note in told.notes)


def test_many_sites_get_what_each_gets_alone():
    branch = gate_branch(calm_rows(10))
    sites = [(DULUTH[0] + north, DULUTH[1]) for north in (0.0, 0.1, 0.4)]
    together = open_hours_all(branch, SHIFT, NOW, sites, purpose="planning")
    for (latitude, longitude), told in zip(sites, together, strict=True):
        alone = open_hours(branch, SHIFT, NOW, latitude, longitude, purpose="planning")
        assert (told.good == alone.good).all()
        assert (told.known == alone.known).all()
        assert told.notes == alone.notes
