"""Prices by hand from the assumed table (prices.py)."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest

from crewplan.placing.price import (
    Promise,
    Published,
    Visit,
    by_its_day,
    early,
    lateness,
    price,
    price_of_later,
)
from crewplan.placing.prices import PRICES, cents, priority_weight

TODAY = date(2026, 5, 3)
PROMISE = Promise(TODAY, date(2026, 5, 8), 2, 2)
VISIT = Visit(
    "A", date(2026, 5, 5), "am", date(2026, 5, 6), 120.0, 3.0, 35.0, 400.0, 0.9, 0.8, 50.0
)


def test_each_part_of_a_visit_is_its_own_sum_in_whole_cents():
    # 3 h x 35; 3 days x 30 / 2 stages; 0.1 x 400; 0.2 x 400
    assert price(VISIT, PROMISE, None) == {
        "travel": 12000,
        "lost hours": 10500,
        "waiting": 4500,
        # 2 days before the promise
        "early": 360,
        "not finishing": 4000,
        "not ready": 8000,
        "equipment": 5000,
    }


def test_lateness_is_convex_and_the_stages_of_a_job_share_it():
    # 120 + 12 for one day; 240 + 48 for two; halved between two stages
    assert lateness(PROMISE, date(2026, 5, 9)) == pytest.approx(66.0)
    assert lateness(PROMISE, date(2026, 5, 10)) == pytest.approx(144.0)
    assert lateness(PROMISE, date(2026, 5, 8)) == 0.0


def test_a_first_priority_weighs_half_as_much_again():
    assert [priority_weight(p) for p in (1, 2, 3)] == [1.5, 1.0, 0.75]


def test_an_earlier_end_is_a_little_cheaper():
    later = replace(VISIT, end_on=date(2026, 5, 7))
    by = price(later, PROMISE, None)["waiting"] - price(VISIT, PROMISE, None)["waiting"]
    assert 0 < by < price(VISIT, PROMISE, None)["travel"]


@pytest.mark.parametrize(
    ("crew", "on", "half", "amount"),
    [
        # published two days from now: 400 x 1 / (1 + 2 / 4) = 266.67 for another day
        ("A", date(2026, 5, 5), "am", 0),
        ("A", date(2026, 5, 6), "am", 26667),
        ("A", date(2026, 5, 5), "pm", 13333),
        ("B", date(2026, 5, 5), "am", 8000),
        ("B", date(2026, 5, 6), "am", 34667),
    ],
)
def test_a_move_costs_by_what_changes(crew, on, half, amount):
    moved = replace(VISIT, crew=crew, start_on=on, start_half=half)
    parts = price(moved, PROMISE, Published("A", date(2026, 5, 5), "am"))
    assert parts.get("move", 0) == amount


def test_a_move_is_dearer_the_nearer_the_published_day():
    far = [
        price(VISIT, PROMISE, Published("A", TODAY + timedelta(days=ahead), "am"))["move"]
        for ahead in (0, 1, 3, 5, 9)
    ]
    assert far == sorted(far, reverse=True)


def test_leaving_a_stage_out_prices_its_work_a_week_after_the_horizon():
    offered = [{"travel": 9000, "lost hours": 500, "waiting": 10}, {"travel": 9400, "lateness": 9}]
    parts = price_of_later(offered, date(2026, 5, 15), PROMISE, None)
    # the cheapest but for its days; ends 2026-05-22: 19 days x 30 / 2; 14 late: (1680 + 2352) / 2
    assert parts == {
        "travel": 9400,
        "left for later": 20000,
        "waiting": 28500,
        "lateness": 201600,
    }


def test_a_longer_horizon_prices_what_is_left_out_as_later_by_as_many_days():
    early_end, late_end = (
        price_of_later([{"travel": 9000}], on, PROMISE, None)
        for on in (date(2026, 5, 15), date(2026, 5, 22))
    )
    assert late_end["waiting"] - early_end["waiting"] == 7 * 3000 / 2


def test_a_placement_more_never_makes_leaving_it_out_dearer():
    offered = [{"travel": 9000}, {"travel": 7000, "not finishing": 4000}]
    more = [*offered, {"travel": 200, "equipment": 5000}]
    day = date(2026, 5, 15)
    prices = [sum(price_of_later(o, day, PROMISE, None).values()) for o in (offered, more)]
    assert prices[1] < prices[0]


def test_work_before_its_promise_is_a_little_dearer_and_never_worth_waiting_for():
    # 0.12 x 30 a day / 2 stages
    assert early(PROMISE, date(2026, 5, 5)) == pytest.approx(3 * 0.12 * 30 / 2)
    assert early(PROMISE, date(2026, 5, 9)) == 0.0
    days = [sum(by_its_day(PROMISE, TODAY + timedelta(days=n)).values()) for n in range(20)]
    steps = [b - a for a, b in pairwise(days)]
    assert all(step > 0 for step in steps)
    assert all(b >= a - 1e-9 for a, b in pairwise(steps))  # convex


def test_leaving_out_what_was_published_is_a_move_too():
    # published tomorrow: 400 x 1.3 / 1.25
    published = Published("A", date(2026, 5, 4), "am")
    assert price_of_later([], date(2026, 5, 8), PROMISE, published)["move"] == 41600


def test_leaving_out_what_is_published_for_later_days_moves_nothing():
    published = Published("A", date(2026, 5, 11), "am")
    assert "move" not in price_of_later([], date(2026, 5, 8), PROMISE, published)


def test_money_is_rounded_once_to_whole_cents():
    assert [cents(a) for a in (0.004, 0.006, 12.344, 12.346)] == [0, 1, 1234, 1235]


def test_every_price_says_where_it_comes_from():
    known = ("assumed", "chosen on", "0.10 to 0.15 in a trial")
    assert all(row.source.startswith(known) and row.meaning for row in PRICES)
