"""The US public forecast grid: every trap of its answers ends in unknown or no-go, never in go."""

from datetime import timedelta

import numpy as np
import pytest
from feed_cases import (
    GRID_PATH,
    PLACE,
    asked_of,
    column,
    grid_answers,
    hour_of,
    verdicts_of,
    words_of,
)
from feed_server import BASE, kept

from crewplan.intake.feeds import FeedFault
from crewplan.intake.feeds.grid import GridFeed

FEED = GridFeed()
ALL_GO = {"ground": "go", "roof": "go", "lift": "go"}


def test_a_calm_forecast_is_a_go_and_counts_as_one_forecast_with_an_assumed_error():
    found, told = verdicts_of(FEED, grid_answers())
    assert {exposure: one.verdict for exposure, one in found.items()} == ALL_GO
    assert max(hour.p_go for one in found.values() for hour in one.hours) < 1
    assert any("an assumed error is put around" in line for line in found["lift"].sources)
    assert told == ()


def test_values_come_in_the_tables_units_with_the_grids_own_issue():
    rows = FEED.forecast(PLACE, asked_of(grid_answers())).rows
    row = rows[0]
    # by hand: 11.112 km/h is 6 knots, 3.086667 m/s; 18.52 km/h is 10 knots, 5.144444 m/s
    assert row.wind_mps == pytest.approx(3.086667, abs=1e-6)
    assert row.gust_mps == pytest.approx(5.144444, abs=1e-6)
    assert (row.rain_mm, row.temperature_c, row.humidity_pct, row.thunder) == (0, 14, 50, 0)
    assert row.issued_at == BASE
    assert (row.place, row.latitude, row.longitude) == (PLACE.name, 46.8, -92.1)
    assert {row.member for row in rows} == {"0"}
    assert max(row.hours for row in rows) == 1


def test_a_gale_is_no_go_for_the_roof_and_the_lift():
    words = words_of(FEED, grid_answers("grid_gale"))
    assert words["roof"] == words["lift"] == "no-go"


def test_layers_that_end_at_different_times_leave_the_rest_unknown_and_not_calm_or_dry():
    # gusts end 20 h after the issue, in the shift; rain at 24 h, its end
    found, _ = verdicts_of(FEED, grid_answers("grid_layers_end_apart"))
    late = [hour for hour in found["lift"].hours if hour.hour >= BASE + timedelta(hours=20)]
    assert len(late) == 4
    assert {hour.verdict for hour in late} == {"unknown"}
    assert {hour.measure for hour in late} == {"gust"}
    rows = FEED.forecast(PLACE, asked_of(grid_answers("grid_layers_end_apart"))).rows
    assert all(row.rain_mm is None for row in hour_of(rows, 30))
    assert all(row.wind_mps is not None for row in hour_of(rows, 30))


def test_a_missing_interval_of_rain_is_not_0_mm():
    found, _ = verdicts_of(FEED, grid_answers("grid_gap_in_rain"))
    gap = [hour for hour in found["roof"].hours if hour.hour < BASE + timedelta(hours=18)]
    assert {hour.verdict for hour in gap} == {"unknown"}


def test_rain_is_the_total_of_its_interval_and_shuts_all_of_its_hours():
    rows = FEED.forecast(PLACE, asked_of(grid_answers("grid_rain_of_six_hours"))).rows
    wet = [row for at in range(12, 18) for row in hour_of(rows, at)]
    assert {row.rain_mm for row in wet} == {3.0}
    found, _ = verdicts_of(FEED, grid_answers("grid_rain_of_six_hours"))
    shut = [hour for hour in found["roof"].hours if hour.hour < BASE + timedelta(hours=19)]
    assert {hour.verdict for hour in shut} == {"no-go"}  # and the hour after it is wet


def test_20_knots_are_over_the_roof_limit_of_23_mph():
    # TRADE.md: 20 kt = 23.016 mph; whole knots as 37.04 km/h
    assert words_of(FEED, grid_answers("grid_20_knots"))["roof"] == "no-go"


def test_thunder_however_unlikely_shuts_its_hours_and_the_next():
    found, _ = verdicts_of(FEED, grid_answers("grid_thunder"))
    shut = [
        hour
        for hour in found["ground"].hours
        if BASE + timedelta(hours=18) <= hour.hour < BASE + timedelta(hours=25)
    ]
    assert {(hour.verdict, hour.measure) for hour in shut} == {("no-go", "thunder")}


def test_a_chance_of_thunder_in_percent_counts_as_thunder():
    grid = kept("grid_calm")
    grid["properties"]["probabilityOfThunder"]["values"][3]["value"] = 1
    rows = FEED.forecast(PLACE, asked_of(grid_answers(grid))).rows
    assert {row.thunder for row in hour_of(rows, 18)} == {0.01}


def test_an_answer_of_today_with_a_forecast_of_three_days_ago_is_unknown():
    # HTTP 200, days old: updateTime says so
    assert set(words_of(FEED, grid_answers("grid_old")).values()) == {"unknown"}


def test_a_forecast_from_the_future_is_unknown():
    words = words_of(FEED, grid_answers(), now=BASE - timedelta(minutes=1))
    assert set(words.values()) == {"unknown"}


def test_a_changed_cell_of_the_grid_is_looked_up_again():
    answers = grid_answers()
    del answers[GRID_PATH]  # the server has forgotten the former cell
    answers["/gridpoints/DLH/95,70"] = "grid_calm"
    points = iter(["points", "points_moved"])
    ask = asked_of(answers)

    def moving(question):
        if question.path.startswith("/points"):
            answers[question.path] = next(points)
        return ask(question)

    rows = FEED.forecast(PLACE, moving).rows
    assert (rows[0].latitude, rows[0].longitude) == (46.8, -92.1)


def test_a_cell_that_lies_elsewhere_is_not_taken_for_the_place():
    with pytest.raises(FeedFault, match="no cell for this place"):
        FEED.forecast(PLACE, asked_of(grid_answers("grid_elsewhere")))


@pytest.mark.parametrize("alerts", [None, "problem", b"<html>", {"features": "none"}])
def test_without_an_answer_on_alerts_thunder_is_unknown_and_nothing_is_a_go(alerts):
    found, told = verdicts_of(FEED, grid_answers(alerts=alerts))
    assert {one.verdict for one in found.values()} == {"unknown"}
    assert any("public alerts are not known" in line for line in told)


def test_severe_storms_are_in_the_alerts_and_hold_to_expires_where_ends_is_not_told():
    rows = FEED.forecast(PLACE, asked_of(grid_answers(alerts="alerts_storm"))).rows
    # invented alert: onset 6 h after the issue; ends empty, expires at 4 h: contradicts itself,
    # so that it counts from the first hour to the last
    assert set(column(rows, "thunder")) == {1.0}


def test_an_alert_of_wind_raises_the_wind_from_onset_to_ends_and_no_further():
    fetched = FEED.forecast(PLACE, asked_of(grid_answers(alerts="alerts_wind")))
    within = [row for at in range(6, 12) for row in hour_of(fetched.rows, at)]
    # 46 mph, the service's criterion for gusts of an advisory; from memory
    assert [row.gust_mps for row in within] == pytest.approx([20.563840] * 6)
    assert all(row.gust_mps < 6 for at in (5, 12) for row in hour_of(fetched.rows, at))
    assert fetched.told == (
        "public alert in force: Wind Advisory; its hours count as gusts of 46 mph or more",
    )


def test_an_alert_never_lowers_the_wind():
    gale = FEED.forecast(PLACE, asked_of(grid_answers("grid_gale"))).rows
    both = FEED.forecast(PLACE, asked_of(grid_answers("grid_gale", "alerts_wind"))).rows
    assert np.nanmin(column(both, "gust_mps")) >= np.nanmin(column(gale, "gust_mps"))


def test_an_alert_that_nobody_has_heard_of_makes_its_hours_unknown():
    fetched = FEED.forecast(PLACE, asked_of(grid_answers(alerts="alerts_unheard_of")))
    assert all(row.gust_mps is None for row in hour_of(fetched.rows, 6))
    assert "Volcanic Sneeze Warning; its hours are unknown" in fetched.told[0]


def test_an_alert_for_swimmers_is_told_and_changes_no_hour():
    plain = FEED.forecast(PLACE, asked_of(grid_answers()))
    told = FEED.forecast(PLACE, asked_of(grid_answers(alerts="alerts_for_swimmers")))
    # its own edges may cut rows, values stay
    assert {row.gust_mps for row in told.rows} == {row.gust_mps for row in plain.rows}
    assert "it changes no hour" in told.told[0]


def test_an_alert_that_is_a_test_is_none():
    assert words_of(FEED, grid_answers(alerts="alerts_of_a_test")) == ALL_GO


def test_old_alerts_make_the_forecast_as_old_as_they_are():
    ask = asked_of(grid_answers(), as_of=BASE - timedelta(hours=5))
    assert {row.issued_at for row in FEED.forecast(PLACE, ask).rows} == {BASE - timedelta(hours=5)}


def test_a_unit_that_is_not_understood_makes_its_layer_unknown():
    grid = kept("grid_calm")
    grid["properties"]["windGust"]["uom"] = "wmoUnit:furlong_fortnight-1"
    rows = FEED.forecast(PLACE, asked_of(grid_answers(grid))).rows
    assert np.isnan(column(rows, "gust_mps")).all()


def test_impossible_winds_become_unknown_with_a_sentence():
    grid = kept("grid_calm")
    for entry in grid["properties"]["windGust"]["values"]:
        entry["value"] = 999
    found, told = verdicts_of(FEED, grid_answers(grid))
    assert found["lift"].verdict == "unknown"
    assert any("cannot be" in line for line in told)
