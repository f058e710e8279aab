"""The one place that converts units, by the suffix that a name carries.

Factors are exact by definition: the international foot and mile (1959), the nautical mile of
1852 m, the avoirdupois pound of 0.45359237 kg, standard gravity of 9.80665 m/s2.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Dimension = Literal[
    "speed",
    "length",
    "temperature",
    "mass",
    "power",
    "time",
    "share",
    "angle",
    "pressure",
    "torque",
]

_DIGITS = 9
"""Decimals kept in a converted value, so that 39.2 degF is 4 degC and not a hair beside it."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit; `(value + shift) * scale` is the value in the dimension's own base unit."""

    dimension: Dimension
    scale: Fraction
    word: str
    """As people write it."""
    shift: Fraction = Fraction(0)


def _unit(dimension: Dimension, scale: str, word: str, shift: str = "0") -> Unit:
    return Unit(dimension, Fraction(scale), word, Fraction(shift))


_POUND_KG, _GRAVITY_MPS2, _FOOT_M = Fraction("0.45359237"), Fraction("9.80665"), Fraction("0.3048")
_UNITS: dict[str, Unit] = {
    "mps": _unit("speed", "1", "m/s"),
    "kmh": _unit("speed", "5/18", "km/h"),
    "mph": _unit("speed", "0.44704", "mph"),
    "kt": _unit("speed", "1852/3600", "kt"),
    "fps": _unit("speed", "0.3048", "ft/s"),
    "mm": _unit("length", "1", "mm"),
    "cm": _unit("length", "10", "cm"),
    "m": _unit("length", "1000", "m"),
    "km": _unit("length", "1000000", "km"),
    "in": _unit("length", "25.4", "in"),
    "ft": _unit("length", "304.8", "ft"),
    "mi": _unit("length", "1609344", "mi"),
    "c": _unit("temperature", "1", "degC"),
    "f": _unit("temperature", "5/9", "degF", "-32"),
    "k": _unit("temperature", "1", "K", "-273.15"),
    "kg": _unit("mass", "1", "kg"),
    "g": _unit("mass", "0.001", "g"),
    "lb": _unit("mass", "0.45359237", "lb"),
    "w": _unit("power", "1", "W"),
    "kw": _unit("power", "1000", "kW"),
    "h": _unit("time", "1", "h"),
    "min": _unit("time", "1/60", "min"),
    "pct": _unit("share", "1", "%"),
    "deg": _unit("angle", "1", "deg"),
    "pa": _unit("pressure", "1", "Pa"),
    "nm": _unit("torque", "1", "N·m"),
    "ftlb": Unit("torque", _POUND_KG * _GRAVITY_MPS2 * _FOOT_M, "ft·lbf"),
    "inlb": Unit("torque", _POUND_KG * _GRAVITY_MPS2 * _FOOT_M / 12, "in·lbf"),
    "psf": Unit("pressure", _POUND_KG * _GRAVITY_MPS2 / _FOOT_M**2, "psf"),
}
_ALSO: dict[str, str] = {
    "kph": "kmh",
    "kn": "kt",
    "kts": "kt",
    "knots": "kt",
    "inch": "in",
    "inches": "in",
    "feet": "ft",
    "miles": "mi",
    "degc": "c",
    "degf": "f",
    "lbs": "lb",
    "hours": "h",
    "minutes": "min",
}
"""Other words for a unit -> its suffix."""

SUFFIXES: dict[str, Unit] = _UNITS | {also: _UNITS[suffix] for also, suffix in _ALSO.items()}
"""Suffix of a column or setting -> unit."""

WORDS: dict[str, str] = {
    **{unit.word.lower(): suffix for suffix, unit in _UNITS.items()},
    **_ALSO,
    "mps": "mps",
    "kmh": "kmh",
    "fps": "fps",
    "knot": "kt",
    "c": "c",
    "°c": "c",
    "f": "f",
    "°f": "f",
    "hour": "h",
    "hr": "h",
    "mm/h": "mm",
    "mm an hour": "mm",
    "mm per hour": "mm",
    "in/h": "in",
    "in an hour": "in",
    "in per hour": "in",
}
"""Unit as people write it in a cell, lower case -> suffix."""


def suffix_of(name: str) -> str:
    """The unit suffix at a name's end; empty where it has none, or is a rate (`cost_per_h`)."""
    stem, _, suffix = name.rpartition("_")
    return suffix if stem and suffix in SUFFIXES and not stem.endswith("_per") else ""


def convert(value: float, source: str, target: str) -> float:
    """A value of the unit with suffix `source` in the unit with suffix `target`.

    Raises:
        ValueError: where the two measure different things.
    """
    if source == target:
        return value
    old, new = SUFFIXES[source], SUFFIXES[target]
    if old.dimension != new.dimension:
        raise ValueError(f"{old.word} cannot be converted to {new.word}")
    based = (value + float(old.shift)) * float(old.scale / new.scale)
    return round(based - float(new.shift), _DIGITS)
