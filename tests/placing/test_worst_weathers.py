"""The worst tenth of weathers as a part of a placement's price; figures by hand."""

import numpy as np
import pytest
from builders import settings
from one_crew_week import by_clock, choose, left

from crewplan.placing.worst_weathers import above_mean, mean_of_worst


def shut_mornings(member, at):
    """In one member of twenty the first two hours of each day are shut, in another the first."""
    shut_until = {0: 9, 1: 8}.get(member, 0)
    return 0 if at.hour < shut_until else 3


def parts(weight, rule=shut_mornings, **changes):
    found, later = choose(
        hours={"S1": left(("roof", 4.0))},
        weather_at=by_clock(rule, members=20),
        settings=settings(worst_weather_weight=weight),
        **changes,
    )
    return next(p.cost for p in found.placements if p.start == 0), later


def test_two_members_of_twenty_are_the_worst_tenth():
    # two people at a mean of 35: 2 x 2 h and 2 x 1 h lost in the two; 6 h / 20 in the mean
    lost, worst_mean = 35.0 * 6 / 20, 35.0 * (4 + 2) / 2
    cost, _ = parts(1.0)
    assert cost["lost hours"] == round(100 * lost)
    assert cost["worst weathers"] == round(100 * (worst_mean - lost))
    half, _ = parts(0.5)
    assert half["worst weathers"] == round(50 * (worst_mean - lost))


def test_nothing_of_it_is_priced_unless_a_setting_says_so():
    assert "worst weathers" not in parts(0.0)[0]


def test_where_all_weathers_cost_the_same_there_is_no_worse():
    assert "worst weathers" not in parts(1.0, rule=lambda _, at: 0 if at.hour < 8 else 3)[0]


def test_the_last_member_of_the_tenth_counts_in_part():
    loss, weight = np.array([10.0, 40.0, 0.0]), np.array([3, 1, 11])
    # a tenth of fifteen is one and a half: all of the 40 and half of a 10
    assert mean_of_worst(loss, weight) == pytest.approx((40 + 5) / 1.5)
    assert above_mean(loss, weight) == pytest.approx(30 - 70 / 15)
