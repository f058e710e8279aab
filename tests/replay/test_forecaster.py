"""Forecasts made from stated errors: figures by hand or assumed, as said."""

from dataclasses import replace

import numpy as np
import pytest
from replay_cases import weather_of

from crewplan.model.weather_table import WeatherPlace
from crewplan.replay import Errors, Observed, ensemble
from crewplan.replay.forecaster import NoCommonError

HOURS = 24 * 365
STEADY = Observed(
    WeatherPlace("here", 40.7, -74.0),
    1_356_998_400,  # 2013-01-01 00:00 UTC
    {
        "wind": np.full(HOURS, 30.0),
        "gust": np.full(HOURS, 45.0),
        "rain": np.zeros(HOURS),
        "temperature": np.full(HOURS, 10.0),
        "humidity": np.full(HOURS, 60.0),
        "thunder": np.zeros(HOURS),
    },
)
"""So windy that no error reaches 0, where it would be cut."""


def _wind(errors: Errors, seeds: int = 60, lead_h: int = 24) -> np.ndarray:
    """[seeds, members] at one lead."""
    tables = [ensemble(STEADY, errors, STEADY.first_s, 48, seed) for seed in range(seeds)]
    return np.array([t.wind_mps.reshape(errors.members, -1)[:, lead_h] for t in tables])


@pytest.mark.parametrize("common", [0.0, -0.5, 1.5])
def test_members_without_a_common_error_are_refused(common: float) -> None:
    with pytest.raises(NoCommonError, match="all of them share"):
        ensemble(STEADY, Errors(common=common), STEADY.first_s, 24, 1)


def test_who_knows_the_weather_is_told_what_came() -> None:
    told = ensemble(weather_of("EWR"), Errors(times=0), 1_370_000_000, 72, 1)
    came = weather_of("EWR")
    begin = came.index(1_370_000_000)
    for name, values in (("wind", told.wind_mps), ("rain", told.rain_mm)):
        expected = came.fields[name][begin : begin + 72]
        np.testing.assert_allclose(values.reshape(21, 72), np.tile(expected, (21, 1)))


def test_the_mean_of_many_members_still_misses_by_their_common_error() -> None:
    """By hand: 0.9 + 24 x 0.0105 = 1.152 m/s is each part's deviation a day ahead."""
    wind = _wind(Errors(members=60), seeds=400)
    missed = wind.mean(axis=1) - 30.0
    apart = wind.std(axis=1, ddof=1)
    assert missed.std() == pytest.approx(1.152, rel=0.12)  # 400 draws: 3.5 % standard error
    assert apart.mean() == pytest.approx(1.152, rel=0.05)


def test_doubled_errors_are_twice_as_far_off() -> None:
    once, twice = (_wind(Errors(times=times)) - 30.0 for times in (1.0, 2.0))
    np.testing.assert_allclose(twice, 2 * once)


def test_the_same_seed_and_hour_give_the_same_forecast_and_another_seed_another() -> None:
    first, again, other = (
        ensemble(STEADY, Errors(), STEADY.first_s + 7_200, 48, seed).wind_mps for seed in (1, 1, 2)
    )
    assert first.tobytes() == again.tobytes()
    assert first.tobytes() != other.tobytes()


def test_a_gust_is_never_below_the_mean_and_nothing_is_below_nothing() -> None:
    table = ensemble(weather_of("EWR"), Errors(times=3), 1_370_000_000, 240, 5)
    there = ~np.isnan(table.gust_mps) & ~np.isnan(table.wind_mps)
    assert (table.gust_mps[there] >= table.wind_mps[there]).all()
    assert np.nanmin(table.wind_mps) >= 0
    assert np.nanmin(table.rain_mm) >= 0


def test_a_forecast_ends_where_the_record_ends_and_begins_not_after_it() -> None:
    last_s = STEADY.first_s + (HOURS - 5) * 3_600
    assert len(ensemble(STEADY, Errors(), last_s, 48, 1)) == 21 * 5
    with pytest.raises(ValueError, match="observed"):
        ensemble(STEADY, Errors(), last_s + 10 * 3_600, 48, 1)


def test_members_change_nothing_but_their_number() -> None:
    assert _wind(replace(Errors(), members=5), seeds=2).shape == (2, 5)
