"""Drying times against the facts of the trade, and vapour pressure against MetPy."""

import numpy as np
import pytest
from metpy.calc import saturation_vapor_pressure
from metpy.units import units

from crewplan.weather.drying import drying_h, saturation_hpa


@pytest.mark.parametrize(
    ("humidity_pct", "hours", "slack"),
    # TRADE.md, computed: a film of 0.2 mm; the rate is set at 70 %, 95 % follows within 3 %
    [(70, 0.9, 0.001), (95, 5.5, 0.15)],
)
def test_a_film_of_two_tenths_of_a_millimetre_dries_as_the_trade_facts_say(
    humidity_pct, hours, slack
):
    assert float(drying_h(15.0, humidity_pct)) == pytest.approx(hours, abs=slack)


def test_saturation_pressure_is_metpys_within_half_a_percent():
    t = np.arange(-5.0, 35.1, 0.5)
    theirs = saturation_vapor_pressure(t * units.degC).to("hPa").magnitude
    np.testing.assert_allclose(saturation_hpa(t), theirs, rtol=5e-3)


def test_warm_dry_air_dries_faster_and_saturated_or_freezing_air_never():
    assert drying_h(25.0, 50.0) < drying_h(15.0, 50.0) < drying_h(5.0, 50.0)
    assert drying_h(15.0, 40.0) < drying_h(15.0, 60.0)
    assert np.isinf(drying_h(15.0, 100.0))
    assert np.isinf(drying_h(-1.0, 50.0))
