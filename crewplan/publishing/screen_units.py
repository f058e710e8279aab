"""The one place that turns metric values into what the reader's units are."""

from dataclasses import dataclass
from typing import Literal

from crewplan.model.units import SUFFIXES
from crewplan.publishing.reader import with_mark

UnitSystem = Literal["us", "metric"]


@dataclass(frozen=True, slots=True)
class Shown:
    """How a metric unit is shown: value * factor + offset, `name`, decimals."""

    name: str
    factor: float
    decimals: int
    offset: float = 0.0


_METRIC: dict[str, Shown] = {
    "m/s": Shown("m/s", 1.0, 1),
    "mm": Shown("mm", 1.0, 2),
    "degC": Shown("°C", 1.0, 0),
    "h": Shown("h", 1.0, 1),
    "kg": Shown("kg", 1.0, 0),
    "m": Shown("m", 1.0, 1),
    "km": Shown("km", 1.0, 1),
    "Pa": Shown("Pa", 1.0, 0),
    "N": Shown("N", 1.0, 0),
    "Nm": Shown("N·m", 1.0, 1),
}


def _per(suffix: str) -> float:
    return float(1 / SUFFIXES[suffix].scale)


_NEWTON_PER_POUND = 4.4482216
_PASCAL_PER_PSF = 47.88026
"""Pound-force and pounds a square foot: NIST Special Publication 811, appendix B, from memory."""

_US: dict[str, Shown] = _METRIC | {
    "m/s": Shown("mph", _per("mph"), 1),
    "mm": Shown("in", _per("in"), 2),
    "degC": Shown("°F", _per("f"), 0, 32.0),
    "kg": Shown("lb", _per("lb"), 0),
    "m": Shown("ft", 1000 * _per("ft"), 1),
    "km": Shown("mi", 1_000_000 * _per("mi"), 1),
    "Pa": Shown("psf", 1 / _PASCAL_PER_PSF, 1),
    "N": Shown("lbf", 1 / _NEWTON_PER_POUND, 0),
    "Nm": Shown("ft·lbf", _per("ftlb"), 1),
}

_SYSTEMS: dict[UnitSystem, dict[str, Shown]] = {"us": _US, "metric": _METRIC}


def shown(unit: str, system: UnitSystem) -> Shown:
    """How `unit` is shown; a unit that is not known is shown as it stands."""
    return _SYSTEMS[system].get(unit, Shown(unit, 1.0, 1))


def fixed(value: float, unit: str, system: UnitSystem) -> str:
    """The value in the reader's unit, without the unit, always with its decimals: '26.0'."""
    return with_mark(_fixed(value, unit, system))


def _fixed(value: float, unit: str, system: UnitSystem) -> str:
    how = shown(unit, system)
    return f"{value * how.factor + how.offset:.{how.decimals}f}"


def number(value: float, unit: str, system: UnitSystem) -> str:
    """The value in the reader's unit, without the unit; '26' for 26.0, '26.2' for 26.2."""
    text = _fixed(value, unit, system)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return with_mark("0" if text == "-0" else text)


def quantity(value: float, unit: str, system: UnitSystem) -> str:
    """The value with the reader's unit."""
    return f"{number(value, unit, system)} {shown(unit, system).name}".rstrip()
