"""An open ensemble: members as they are, labels where they belong, missing members shut."""

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from feed_cases import (
    ENSEMBLE,
    PLACE,
    asked_of,
    column,
    hour_of,
    verdicts_of,
    words_of,
)
from feed_server import BASE, kept

from crewplan.intake.feeds import FeedFault
from crewplan.intake.feeds.ensemble import FREE_HOST, EnsembleFeed

FEED = EnsembleFeed("https://ensemble.example.com", "gem_global_ensemble")
RUNS = "/data/gem_global_ensemble/static/meta.json"


def _answers(told="ensemble_calm", runs="ensemble_runs"):
    return {ENSEMBLE: told, RUNS: runs}


def test_a_calm_ensemble_is_a_go_with_all_of_its_members():
    found, told = verdicts_of(FEED, _answers())
    assert {one.verdict for one in found.values()} == {"go"}
    assert max(hour.p_go for hour in found["lift"].hours) == 1
    assert told == ()
    rows = FEED.forecast(PLACE, asked_of(_answers())).rows
    assert len({row.member for row in rows}) == 21


def test_the_issue_is_the_start_of_the_models_run():
    rows = FEED.forecast(PLACE, asked_of(_answers())).rows
    assert {row.issued_at for row in rows} == {BASE - timedelta(hours=6)}


def test_a_run_that_came_minutes_ago_may_not_be_in_the_answer_yet():
    runs = kept("ensemble_runs")
    runs["last_run_availability_time"] = int((BASE - timedelta(minutes=5)).timestamp())
    rows = FEED.forecast(PLACE, asked_of(_answers(runs=runs))).rows
    assert {row.issued_at for row in rows} == {BASE - timedelta(hours=12)}


@pytest.mark.parametrize("runs", [None, {}, {"last_run_initialisation_time": "now"}, b"x"])
def test_a_run_that_is_not_known_leaves_everything_unknown(runs):
    found, told = verdicts_of(FEED, _answers(runs=runs))
    assert {one.verdict for one in found.values()} == {"unknown"}
    assert "when the forecast was made is not known" in told[0]


def test_gusts_and_rain_are_of_the_hour_before_their_label_and_the_rest_holds_at_it():
    told = kept("ensemble_calm")
    hourly = told["hourly"]
    hourly["wind_gusts_10m"] = [5.0 + at for at in range(49)]
    hourly["precipitation"] = [0.1 * at for at in range(49)]
    hourly["wind_speed_10m"] = [0.01 * at for at in range(49)]
    rows = FEED.forecast(PLACE, asked_of(_answers(told))).rows
    control = [row for row in rows if row.member == "00"]
    # answers were made at 21 h UTC; the hour from label 2 to label 3 (23 to 24 h UTC) ends one of
    # the three-hour steps of the model
    third = hour_of(control, 2)
    assert [row.gust_mps for row in third] == [8.0, 8.0]
    assert sum(row.rain_mm for row in third) == pytest.approx(0.3)
    assert [row.wind_mps for row in third] == pytest.approx([0.02, 0.03])


def test_a_gust_filled_between_three_hourly_ones_counts_as_the_one_at_the_end_of_its_step():
    told = kept("ensemble_calm")
    told["hourly"]["wind_gusts_10m"] = [5.0, 6.0, 7.0, 20.0] + [5.0] * 45  # 20 at 0 h UTC
    control = [r for r in FEED.forecast(PLACE, asked_of(_answers(told))).rows if r.member == "00"]
    assert {row.gust_mps for at in range(3) for row in hour_of(control, at)} == {20.0}
    assert {row.gust_mps for row in hour_of(control, 3)} == {5.0}


def test_one_offset_of_the_answer_holds_also_across_a_change_of_clocks():
    # 8 March 2026: at 2 h the clocks of Chicago go to 3 h; the answer keeps -6 h, so that its
    # text 04:00 is 10:00 UTC (by hand), not the 9:00 UTC of a clock on the wall
    told = kept("ensemble_over_a_change_of_clocks")
    rows = FEED.forecast(PLACE, asked_of(_answers(told))).rows
    at = sorted({row.valid_at for row in rows if row.member == "00"})
    assert at[0] == datetime(2026, 3, 8, 6, 0, tzinfo=UTC)
    assert at[8] == datetime(2026, 3, 8, 10, 0, tzinfo=UTC)
    assert {b - a for a, b in pairwise(at)} == {timedelta(minutes=30)}


def test_members_that_are_missing_count_and_shut():
    told = kept("ensemble_calm")
    for column_name in list(told["hourly"]):
        if column_name.endswith(("member19", "member20")):
            del told["hourly"][column_name]
    found, sentences = verdicts_of(FEED, _answers(told))
    assert {one.verdict for one in found.values()} == {"unknown"}
    assert sentences == ("2 of 21 members are missing, and count as unknown",)


def test_a_model_that_is_not_known_takes_its_members_from_the_settings():
    other = EnsembleFeed("https://ensemble.example.com", "new_model", members=31)
    answers = {ENSEMBLE: "ensemble_calm", "/data/new_model/static/meta.json": "ensemble_runs"}
    assert words_of(other, answers)["lift"] == "unknown"


def test_a_storm_in_more_members_than_the_gate_allows_shuts():
    told = kept("ensemble_calm")
    for member in range(1, 4):
        told["hourly"][f"weather_code_member{member:02}"] = [95] * 49
    assert words_of(FEED, _answers(told)) == dict.fromkeys(("ground", "roof", "lift"), "no-go")


def test_without_codes_of_the_weather_thunder_is_unknown():
    told = kept("ensemble_calm")
    told["hourly"] = {k: v for k, v in told["hourly"].items() if "weather_code" not in k}
    rows = FEED.forecast(PLACE, asked_of(_answers(told))).rows
    assert np.isnan(column(rows, "thunder")).all()


def test_columns_of_another_length_or_unit_are_unknown():
    told = kept("ensemble_calm")
    told["hourly"]["temperature_2m_member03"] = [14.0]
    told["hourly_units"]["wind_speed_10m_member04"] = "beaufort"
    rows = FEED.forecast(PLACE, asked_of(_answers(told))).rows
    assert np.isnan(column([r for r in rows if r.member == "03"], "temperature_c")).all()
    assert np.isnan(column([r for r in rows if r.member == "04"], "wind_mps")).all()


def test_an_error_of_the_interface_is_a_sentence():
    with pytest.raises(FeedFault):
        FEED.forecast(PLACE, asked_of(_answers("ensemble_error")))


def test_the_free_host_says_that_it_is_not_for_a_company():
    assert any("non-commercial" in line for line in EnsembleFeed(FREE_HOST, "m").terms)
    assert not any("non-commercial" in line for line in FEED.terms)
