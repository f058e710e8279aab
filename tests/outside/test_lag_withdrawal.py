"""Lag withdrawal against the National Design Specification for wood construction, table 12.2A.

Read in a scan of the table: reference withdrawal values in pounds an inch of thread in side grain,
W = 1800 G^1.5 D^0.75.
"""

import pytest

from crewplan.takeoff.withdrawal import withdrawal_n_per_mm

INCH = 25.4
POUND_N = 4.4482216152605
"""Exact: 0.45359237 kg x 9.80665 m/s2."""


def pounds_per_inch(gravity: float, diameter_in: float) -> float:
    return withdrawal_n_per_mm(gravity, diameter_in * INCH) * INCH / POUND_N


@pytest.mark.parametrize(
    ("wood", "gravity", "diameter_in", "printed"),
    [
        ("Douglas fir-larch", 0.50, 5 / 16, 266),
        ("spruce-pine-fir", 0.42, 5 / 16, 205),
        ("hem-fir", 0.43, 5 / 16, 212),
        ("southern pine", 0.55, 5 / 16, 307),
        ("Douglas fir-larch", 0.50, 1 / 4, 225),
    ],
)
def test_withdrawal_is_the_printed_value_to_the_pound(wood, gravity, diameter_in, printed):
    assert round(pounds_per_inch(gravity, diameter_in)) == printed


def test_two_and_a_half_inches_in_douglas_fir_hold_665_pounds():
    assert 2.5 * pounds_per_inch(0.50, 5 / 16) == pytest.approx(665, abs=1)
