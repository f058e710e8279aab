"""A published law of waits: permit applied to inspected, quartiles 27, 50 and 96 calendar days.

O'Shaughnessy, Barbose, Wiser, Energy Policy 2020 (figures copied). Log-normal: sigma is
ln(96 / 27) / (2 x 0.67449) = 0.940, and about the median of 50 it puts one in ten under 15 days and
one in ten over 167. These tails are extrapolated: the source gives quartiles only.
"""

import numpy as np
import pytest

from crewplan.readiness.tail import tail_through

QUARTILES = np.array([27.0, 50.0, 96.0])
SHARES = np.array([0.25, 0.5, 0.75])


def published():
    tail = tail_through(QUARTILES, SHARES)
    assert tail is not None
    return tail


def test_the_spread_read_from_the_quartiles_is_0_940():
    assert published().sigma == pytest.approx(0.940, abs=5e-4)


def test_the_quartiles_come_back_within_4_percent_for_they_are_not_quite_log_normal():
    days = [published().days_for(1 - share) for share in SHARES]
    assert days == pytest.approx(QUARTILES, rel=0.04)


def test_the_implied_tails_are_15_and_167_days():
    # within 2 %: a line through three points takes their mean (50.6) where the source has 50
    assert published().days_for(0.9) == pytest.approx(15, rel=0.02)
    assert published().days_for(0.1) == pytest.approx(167, rel=0.02)


def test_share_still_waiting_and_days_are_each_others_inverse():
    tail = published()
    for left in (0.99, 0.6, 0.2, 0.01):
        assert tail.still_waiting(np.array(tail.days_for(left))) == pytest.approx(left)
    assert tail.still_waiting(np.array([0.0, -3.0])).tolist() == [1.0, 1.0]


@pytest.mark.parametrize(
    ("days", "over"),
    [([5.0], [0.5]), ([5.0, 5.0], [0.4, 0.6]), ([0.0, 9.0], [0.2, 0.5]), ([4.0, 9.0], [0.5, 1.0])],
)
def test_one_point_is_no_law(days, over):
    assert tail_through(np.array(days), np.array(over)) is None
