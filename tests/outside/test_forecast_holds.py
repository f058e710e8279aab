"""A tenth of `python tests/benchmarks/forecast_check.py`, whose whole table is in DEVELOPERS.md."""

import sys
from functools import cache
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from forecast_check import HALF_LIFE_DAYS, held

REPEATS = 50


@cache
def shares():
    return held(REPEATS)


@pytest.mark.parametrize(("record", "points"), [("40 requests", 0.05), ("5 requests", 0.10)])
@pytest.mark.parametrize(("told", "share"), [("50 %", 0.5), ("80 %", 0.8)])
def test_the_day_told_holds_as_often_as_it_says(record, points, told, share):
    assert abs(shares()[record, told] - share) <= points


def test_the_average_and_the_longest_wait_are_neither_half_nor_four_in_five():
    # both rules drift with the number of requests, and say nothing of how sure they are
    assert shares()["40 requests", "longest"] > 0.9
    assert shares()["40 requests", "average"] > 0.55


def test_where_waits_have_doubled_recent_answers_bring_the_day_nearer_to_what_it_says():
    plain = held(REPEATS, drift=True)
    recent = held(REPEATS, drift=True, half_life=HALF_LIFE_DAYS)
    for told, share in (("50 %", 0.5), ("80 %", 0.8)):
        key = ("40 requests", told)
        assert abs(recent[key] - share) <= 0.10 < abs(plain[key] - share)
