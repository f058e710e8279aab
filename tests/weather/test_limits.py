"""Which limits hold once a folder has its say."""

import math

import pytest
from builders import package_limits

from crewplan.model.limit_row import Limit
from crewplan.weather import effective_limits
from crewplan.weather.limits import BadLimit, describe

OWN = "our insurer, letter of 2026"


def _row(exposure, measure, at_most, source=OWN, effect="stop", unit=""):
    return Limit(exposure, measure, at_most, unit, effect=effect, source=source)


def _tightest(exposure, *folder):
    limits = effective_limits(package_limits(), folder)
    return {m: row.at_most for m, row in limits.tightest(exposure, "stop").items()}


def test_lift_obeys_the_roofs_limits_and_the_roof_those_of_the_ground():
    lift = _tightest("lift")
    assert lift["gust"] == pytest.approx(26 * 0.44704)
    assert lift["rain"] == 0.25
    assert lift["thunder"] == 0
    assert set(_tightest("ground")) == {"gust", "thunder"}
    assert _tightest("roof")["gust"] == pytest.approx(35 * 0.44704)


def test_a_folders_row_replaces_that_of_its_own_exposure_and_measure_only():
    lift = _tightest("lift", _row("lift", "gust", 30.0))
    assert lift["gust"] == pytest.approx(35 * 0.44704)  # the roof's still holds
    assert _tightest("roof", _row("lift", "gust", 30.0)) == _tightest("roof")


def test_a_row_of_a_measure_that_the_package_lacks_there_only_adds():
    assert _tightest("lift", _row("lift", "rain", 5.0))["rain"] == 0.25
    assert _tightest("ground", _row("ground", "wind", 12.0))["wind"] == 12.0
    assert _tightest("lift", _row("ground", "wind", 5.0))["wind"] == 5.0


def test_a_looser_row_is_named_with_its_source():
    notes = effective_limits(package_limits(), [_row("lift", "gust", 13.0)]).notes
    assert len(notes) == 1
    assert "looser" in notes[0]
    assert OWN in notes[0]
    for measure, value in (("frost", 1.0), ("temperature_low", -20.0), ("wet", 0.0)):
        assert OWN in effective_limits(package_limits(), [_row("roof", measure, value)]).notes[0]


def test_a_stricter_row_is_not_named():
    for measure, value in (("gust", 9.0), ("frost", 6.0), ("wet", 3.0)):
        assert not effective_limits(package_limits(), [_row("roof", measure, value)]).notes


def test_a_limit_goes_away_only_with_a_source_and_is_named():
    gone = effective_limits(package_limits(), [_row("roof", "frost", None)])
    assert "frost" not in gone.tightest("roof", "stop")
    assert OWN in gone.notes[0]
    assert "frost" in gone.notes[0]
    kept = effective_limits(package_limits(), [_row("roof", "frost", None, source=" ")])
    assert kept.tightest("roof", "stop")["frost"].at_most == 4.0
    assert "not obeyed" in kept.notes[0]


def test_a_caution_stands_beside_a_stop_and_never_replaces_it():
    limits = effective_limits(package_limits(), [_row("lift", "gust", 20.0, effect="caution")])
    assert limits.tightest("lift", "stop")["gust"].at_most == pytest.approx(26 * 0.44704)
    assert limits.tightest("lift", "caution")["gust"].at_most == 20.0
    away = effective_limits(package_limits(), [_row("lift", "gust", None, effect="caution")])
    assert away.tightest("lift", "stop")["gust"].at_most == pytest.approx(26 * 0.44704)


def test_a_stop_on_heat_leaves_the_packages_caution_beside_it():
    limits = effective_limits(package_limits(), [_row("ground", "heat_index", 35.0)])
    assert limits.tightest("roof", "stop")["heat_index"].at_most == 35.0
    assert limits.tightest("roof", "caution")["heat_index"].at_most == pytest.approx(
        80 / 1.8 - 32 / 1.8
    )
    gone = effective_limits(package_limits(), [_row("ground", "heat_index", None)])
    assert "heat_index" not in gone.tightest("lift", "caution")


def test_a_limit_that_is_no_finite_number_is_refused():
    for value in (math.nan, math.inf):
        with pytest.raises(BadLimit, match="lift gust"):
            effective_limits(package_limits(), [_row("lift", "gust", value)])


def test_a_limit_is_told_in_the_tables_own_unit_and_in_metric_with_its_source():
    gust = next(r for r in package_limits() if (r.exposure, r.measure) == ("lift", "gust"))
    assert describe(gust).startswith("lift gust at most 26 mph (11.62 m/s, 3 s, 10 m up): ")
    assert describe(_row("roof", "wet", 2.0, source="")) == "roof wet at least 2 h: no source given"


def test_a_caution_of_none_takes_no_limit_away_and_does_not_say_so():
    limits = effective_limits(package_limits(), [_row("lift", "gust", None, effect="caution")])
    assert limits.tightest("lift", "stop")["gust"].at_most == pytest.approx(26 * 0.44704)
    assert limits.notes == (f"no caution on lift gust: {OWN}",)
