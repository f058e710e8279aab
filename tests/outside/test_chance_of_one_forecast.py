"""The chance that one forecast gives, against the normal distribution, and units against MetPy."""

from datetime import UTC, datetime

import numpy as np
import pytest
from builders import package_limits
from metpy.units import units
from scipy.stats import lognorm, norm, truncnorm

from crewplan.weather.assumed_error import SIZES, draws_each, normal_draws, with_error

LIMIT_MPS = 25 * 0.44704


def test_of_a_forecast_of_8_with_sd_2_the_share_under_25_mph_is_0_944():
    # TRADE.md, computed: 0.944 by a normal cut off at 0, 0.931 by a log-normal
    published = truncnorm((0 - 8) / 2, np.inf, 8, 2).cdf(LIMIT_MPS)
    assert published == pytest.approx(0.944, abs=5e-4)
    sigma = np.sqrt(np.log(1 + (2 / 8) ** 2))
    other = lognorm(sigma, scale=8 / np.exp(sigma**2 / 2)).cdf(LIMIT_MPS)
    assert other == pytest.approx(0.931, abs=5e-4)
    draws = draws_each(1)
    hour = np.array([int(datetime(2026, 5, 4, 15, tzinfo=UTC).timestamp())])
    z = normal_draws(draws, hour)["wind"][:, 0]
    share = np.count_nonzero(8 + 2 * z <= LIMIT_MPS) / (draws + 1)
    # to a draw, and one more that is never good
    assert published - 2 / (draws + 1) <= share <= published


@pytest.mark.parametrize("days", [0, 1, 5, 9])
def test_the_share_of_draws_within_a_limit_is_that_of_the_assumed_normal(days):
    draws, hours = draws_each(1), np.arange(40) * 3600
    z = normal_draws(draws, hours)["wind"]
    gust = np.full((1, 40), 9.0)
    drawn = with_error("gust", gust, z, np.full((1, 40), 24.0 * days), whole=True)
    size = SIZES["gust"]
    sd = size.at_once + size.a_day * min(days, 7)
    for limit in (9.5, 11.0, 13.0):
        wanted = norm(9.0, sd).cdf(limit)
        assert (drawn <= limit).mean(axis=0) == pytest.approx(wanted, abs=1 / draws)


def test_every_hour_has_the_same_quantiles_and_hours_of_a_draw_are_alike():
    z = normal_draws(99, np.arange(48) * 3600)["wind"]
    np.testing.assert_allclose(np.sort(z, axis=0), np.sort(z, axis=0)[:, :1].repeat(48, axis=1))
    # correlation of hours is the share of variance that they have in common, here assumed 0.7
    assert np.corrcoef(z.T)[np.triu_indices(48, 1)].mean() == pytest.approx(0.7, abs=0.05)


def test_the_package_limits_are_those_of_the_design_by_metpys_units():
    written = {
        ("lift", "wind"): 17 * units.mph,
        ("lift", "gust"): 26 * units.mph,
        ("roof", "wind"): 23 * units.mph,
        ("roof", "gust"): 35 * units.mph,
        ("ground", "gust"): 45 * units.mph,
        ("roof", "rain"): 0.25 * units.mm,
        ("roof", "wet"): 1 * units.hour,
        ("roof", "frost"): units.Quantity(4, "degC"),
        ("roof", "temperature_low"): units.Quantity(-10, "degC"),
        ("ground", "heat_index"): units.Quantity(80, "degF"),
        ("roof", "light"): 0,
        ("ground", "thunder"): 0,
    }
    inside = {
        "wind": "m/s",
        "gust": "m/s",
        "rain": "mm",
        "wet": "hour",
        "frost": "degC",
        "temperature_low": "degC",
        "heat_index": "degC",
    }
    rows = {(row.exposure, row.measure): row for row in package_limits()}
    assert rows.keys() == written.keys()
    for key, value in written.items():
        unit = inside.get(key[1])
        wanted = value.to(unit).magnitude if unit else value
        assert rows[key].at_most == pytest.approx(wanted, abs=1e-8)
        assert rows[key].source
        assert (rows[key].effect == "caution") == (key[1] == "heat_index")


def test_20_knots_is_over_the_roof_limit_of_23_mph():
    # TRADE.md: wind in whole knots, 20 kt = 23.016 mph against 23
    row = next(r for r in package_limits() if (r.exposure, r.measure) == ("roof", "wind"))
    assert (20 * units.knot).to("m/s").magnitude > row.at_most
    assert (20 * units.knot).to("mph").magnitude == pytest.approx(23.016, abs=5e-4)
