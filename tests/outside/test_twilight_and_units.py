"""Civil twilight against astral and published times; unit conversions against MetPy's."""

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from astral import Observer
from astral.sun import dawn, dusk
from metpy.units import units

from crewplan.model.units import SUFFIXES, convert
from crewplan.weather.sun import elevation_deg

CIVIL_DEG = -6.0
"""Elevation of the sun's centre at the ends of civil twilight."""
PLACES = {"Duluth": (46.78, -92.11), "Sydney": (-33.87, 151.21), "Helsinki": (60.17, 24.94)}


def _elevation(place, at):
    return float(elevation_deg(*place, np.array([int(at.timestamp())]))[0, 0])


@pytest.mark.parametrize("name", PLACES)
@pytest.mark.parametrize("month", [3, 6, 9, 12])
def test_civil_dawn_and_dusk_are_those_of_astral(name, month):
    place, day = PLACES[name], date(2026, month, 20)
    for moment in (dawn, dusk):
        at = moment(Observer(*place), day, depression=6)
        # a minute of time is at most a quarter of a degree of elevation
        assert _elevation(place, at) == pytest.approx(CIVIL_DEG, abs=0.25)


@pytest.mark.parametrize(
    ("place", "begins", "ends"),
    [
        # US Naval Observatory, civil twilight, Duluth, 21 June (CDT): 4:37 and 21:45. From memory
        ((46.78, -92.11), "2026-06-21T09:37+00:00", "2026-06-22T02:45+00:00"),
    ],
)
def test_published_civil_twilight_is_met_within_four_minutes(place, begins, ends):
    slack = timedelta(minutes=4)
    for told, sign in ((begins, 1), (ends, -1)):
        at = datetime.fromisoformat(told)
        assert at.tzinfo == UTC
        assert sign * (_elevation(place, at - slack) - CIVIL_DEG) < 0
        assert sign * (_elevation(place, at + slack) - CIVIL_DEG) > 0


_METPY = {
    "mps": "m/s",
    "kmh": "km/hour",
    "mph": "mph",
    "kt": "knot",
    "fps": "ft/s",
    "mm": "mm",
    "cm": "cm",
    "m": "m",
    "km": "km",
    "in": "inch",
    "ft": "foot",
    "mi": "mile",
    "c": "degC",
    "f": "degF",
    "k": "kelvin",
    "kg": "kg",
    "g": "g",
    "lb": "lb",
    "w": "W",
    "kw": "kW",
    "h": "hour",
    "min": "minute",
}


@pytest.mark.parametrize("source", _METPY)
def test_every_unit_is_converted_as_metpy_does(source):
    for target in _METPY:
        if SUFFIXES[source].dimension != SUFFIXES[target].dimension:
            with pytest.raises(ValueError, match="cannot be converted"):
                convert(1.0, source, target)
            continue
        for value in (-40.0, 0.0, 7.25, 100.0):
            theirs = units.Quantity(value, _METPY[source]).to(_METPY[target]).magnitude
            assert convert(value, source, target) == pytest.approx(theirs, rel=1e-9, abs=1e-8)
