"""Ten past permits, worked by hand with fractions, and who has waited already."""

from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pytest
from scipy import stats

from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.curves import kaplan_meier
from crewplan.readiness.history import History

TODAY = date(2026, 5, 4)
TEN = ((4, True), (6, True), (6, True), (9, False), (11, True),
       (14, True), (14, False), (20, True), (25, False), (30, True))  # fmt: skip
"""Days, granted after them or still waiting."""

LEFT = {
    4: Fraction(9, 10),
    6: Fraction(9, 10) * Fraction(7, 9),
    11: Fraction(7, 10) * Fraction(5, 6),
    14: Fraction(7, 12) * Fraction(4, 5),
    20: Fraction(7, 15) * Fraction(2, 3),
    30: Fraction(0),
}
"""By hand: at risk 10, 9, 6, 5, 3 and 1 when 1, 2, 1, 1, 1 and 1 were granted."""


def waits(rows=TEN):
    record = [
        LeadTime("permit", TODAY - timedelta(days=days), "Town", TODAY if over else None)
        for days, over in rows
    ]
    found = History(record, TODAY).waits("permit", "Town")
    assert found is not None
    return found


def left(day):
    return LEFT[max((d for d in LEFT if d <= day), default=0)] if day >= 4 else Fraction(1)


def test_the_share_still_waiting_is_the_hand_count():
    found = waits().still_waiting(np.arange(35))
    assert found == pytest.approx([float(left(day)) for day in range(30)] + [0.0] * 5)


@pytest.mark.parametrize("waited", [0, 4, 5, 10, 14, 19, 24])
def test_days_already_waited_are_counted_as_by_hand(waited):
    days = np.arange(waited, 31)
    expected = [float(1 - left(day) / left(waited)) for day in days.tolist()]
    assert waits().chance_by(days, waited) == pytest.approx(expected)


def test_who_has_waited_as_long_as_the_longest_has_no_chance_by_the_record():
    assert not waits().chance_by(np.arange(30, 90), 30).any()


def test_equal_weights_give_the_published_estimator():
    days, over = (np.array(column) for column in zip(*TEN, strict=True))
    survival = stats.ecdf(stats.CensoredData(uncensored=days[over], right=days[~over])).sf
    ours = kaplan_meier(days, over, np.full(len(days), 0.37))
    assert ours.at(np.arange(35.0)) == pytest.approx(survival.evaluate(np.arange(35.0)))
    assert ours.requests == pytest.approx(10)


def test_a_request_of_weight_three_counts_as_three_requests():
    days, over = (np.array(column) for column in zip(*TEN, strict=True))
    times = np.array([3, 1, 2, 1, 1, 3, 1, 2, 1, 1])
    weighted = kaplan_meier(days, over, times.astype(float))
    repeated = kaplan_meier(np.repeat(days, times), np.repeat(over, times))
    assert weighted.at(np.arange(35.0)) == pytest.approx(repeated.at(np.arange(35.0)))
    assert weighted.requests < 10  # Kish: 16 squared over 32
    assert weighted.requests == pytest.approx(16**2 / 32)


def test_a_refused_request_is_never_granted_and_stays_at_risk():
    # by hand: of four, granted after 2 and 8 days, refused after 3, waiting for 5 days
    refused = np.array([False, False, True, False])
    curve = kaplan_meier(
        np.array([2, 8, 3, 5]), np.array([True, True, False, False]), never=refused
    )
    assert curve.at(np.array([1.0, 2.0, 8.0, 99.0])) == pytest.approx([1, 3 / 4, 3 / 8, 3 / 8])
    assert curve.never == pytest.approx(1 / 4)
