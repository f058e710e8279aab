"""The heat index against the public weather service's own figures and MetPy's function."""

import numpy as np
import pytest
from metpy.calc import heat_index
from metpy.units import units

from crewplan.weather.heat import heat_index_c, heat_index_f


def test_at_80_degf_and_100_percent_the_full_algorithm_gives_89_29():
    # TRADE.md, read at the public weather service; its printed chart says 87 there
    assert heat_index_f(80.0, 100.0) == pytest.approx(89.29, abs=0.005)


@pytest.mark.parametrize(
    ("temperature_f", "humidity_pct", "chart"),
    [(80, 40, 80), (90, 40, 91), (90, 70, 105), (100, 50, 118), (86, 90, 105), (110, 40, 136)],
)
def test_the_printed_chart_is_met_within_its_rounding(temperature_f, humidity_pct, chart):
    # US National Weather Service, heat index chart (degF); from memory, whole degrees
    assert heat_index_f(temperature_f, humidity_pct) == pytest.approx(chart, abs=1.3)


def test_metpy_gives_the_same_wherever_the_full_regression_applies():
    temperature_f, humidity_pct = np.meshgrid(np.arange(81.0, 115.0, 0.7), np.arange(3.0, 100, 3.1))
    theirs = heat_index(temperature_f * units.degF, humidity_pct * units.percent)
    ours = heat_index_f(temperature_f, humidity_pct)
    full = (ours >= 80) & (np.asarray(theirs.magnitude) >= 80)
    assert full.mean() > 0.8
    np.testing.assert_allclose(ours[full], theirs.magnitude[full], atol=1e-6)


def test_in_mild_air_ours_is_the_mean_of_the_air_and_metpys_simple_formula():
    # the public weather service averages the simple formula with the air; MetPy does not
    temperature_f, humidity_pct = np.meshgrid(np.arange(60.0, 82.0, 0.9), np.arange(20.0, 100, 5.3))
    theirs = heat_index(
        temperature_f * units.degF, humidity_pct * units.percent, mask_undefined=False
    ).magnitude
    ours = heat_index_f(temperature_f, humidity_pct)
    simple = 1.1 * temperature_f - 10.3 + 0.047 * humidity_pct < 79  # where MetPy keeps to it
    assert simple.mean() > 0.5
    np.testing.assert_allclose(ours[simple], (theirs + temperature_f)[simple] / 2, atol=1e-9)


def test_celsius_in_and_out_is_the_same_index():
    assert heat_index_c(26.6666666667, 100.0) == pytest.approx((89.2878534 - 32) / 1.8, abs=1e-6)
