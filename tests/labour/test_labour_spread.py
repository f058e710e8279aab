import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crewplan.labour import combine
from crewplan.labour.spread import STEPS_CORRELATION

steps = st.lists(
    st.tuples(st.floats(0.01, 50), st.floats(0, 1.5)),
    min_size=1,
    max_size=12,
)


@settings(deadline=None)
@given(steps)
def test_nine_of_ten_take_more_than_eight_of_ten_and_the_median_is_the_sum(rows):
    total = combine(rows)
    assert total.p50_h == pytest.approx(sum(hours for hours, _ in rows))
    assert total.p50_h <= total.p80_h <= total.p90_h
    assert total.spread <= max(spread for _, spread in rows) + 1e-9


def test_one_step_is_the_log_normal_itself():
    # by hand: sigma = sqrt(ln(1 + 0.3^2)) = 0.29356; e^(0.84162 sigma) = 1.28030
    total = combine([(10.0, 0.3)])
    assert total.p80_h == pytest.approx(12.803, abs=0.001)
    assert total.spread == pytest.approx(0.3)


def test_no_spread_leaves_the_hours_as_they_are():
    total = combine([(4.0, 0.0), (6.0, 0.0)])
    assert (total.p80_h, total.p90_h, total.spread) == (10.0, 10.0, 0.0)


def test_nothing_left_is_no_hours():
    assert combine([]).p90_h == 0.0


def test_ten_equal_steps_spread_less_than_one_but_not_as_if_independent():
    total = combine([(1.0, 0.3)] * 10)
    # by hand: 0.3 x sqrt(0.5 / 10 + 0.5)
    assert total.spread == pytest.approx(0.3 * math.sqrt(0.55))


def test_the_quantiles_agree_with_drawing_correlated_steps():
    rows = [(5.6, 0.3), (2.4, 0.35), (4.75, 0.25), (3.0, 0.4)]
    rng = np.random.default_rng(7)
    n = 200_000
    common = rng.standard_normal((n, 1)) * math.sqrt(STEPS_CORRELATION)
    own = rng.standard_normal((n, len(rows))) * math.sqrt(1 - STEPS_CORRELATION)
    median = np.array([hours for hours, _ in rows])
    sigma = np.sqrt(np.log1p(np.array([spread for _, spread in rows]) ** 2))
    drawn = (median * np.exp(sigma * (common + own))).sum(axis=1)
    total = combine(rows)
    # the median of a sum lies a little above the sum of medians: within 3 %
    assert total.p50_h == pytest.approx(np.quantile(drawn, 0.5), rel=0.03)
    assert total.p80_h == pytest.approx(np.quantile(drawn, 0.8), rel=0.03)
    assert total.p90_h == pytest.approx(np.quantile(drawn, 0.9), rel=0.03)
    assert total.spread == pytest.approx(drawn.std() / drawn.mean(), rel=0.03)
