"""Chances against a year of real weather; all figures: tests/benchmarks/reliability_year.py."""

import pytest
from reliability import brier, diagram, score, unreliability

CALIBRATED, RAW, VERDICT = (
    "members calibrated (planning)",
    "members as told",
    "worse of both (verdict)",
)


@pytest.fixture(scope="module", params=[1, 3], ids=["a day ahead", "three days ahead"])
def scored(request):
    return score(request.param)


def test_calibrated_members_beat_always_go_climatology_and_the_single_forecast(scored):
    scores = brier(scored)
    assert scores[CALIBRATED] < scores["single forecast"] < scores["always go"]
    assert scores[CALIBRATED] < scores["climatology (share by hour)"]
    assert scores[CALIBRATED] < scores[RAW]


def test_what_is_told_comes_about_as_often_after_calibration_and_not_before(scored):
    assert unreliability(scored, CALIBRATED) < 0.01
    assert unreliability(scored, RAW) > 3 * unreliability(scored, CALIBRATED)


def test_the_share_of_a_verdict_is_at_most_the_lower_of_told_and_calibrated(scored):
    for other in (RAW, CALIBRATED):
        # draws of a verdict are its planning draws, so that this holds hour by hour
        assert (scored.said[VERDICT] <= scored.said[other] + 1e-12).all()


def test_of_the_hours_that_a_verdict_calls_nine_in_ten_or_better_nearly_all_came(scored):
    *_, (_, hours, _, came) = diagram(scored, VERDICT)
    assert hours > 1_000
    assert came > 0.97
