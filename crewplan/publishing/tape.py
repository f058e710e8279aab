"""Lengths as they are read off a tape measure."""

import re
from fractions import Fraction

from crewplan.publishing.screen_units import UnitSystem

_PARTS = 16
"""Marks to an inch on a tape."""
_MM_PER_INCH = 25.4
_MINUS = "−"
TAPE_UNIT: dict[UnitSystem, str] = {"us": "in", "metric": "mm"}


def tape(length_mm: float, units: UnitSystem) -> str:
    """'53 3/8' (inches, to the nearest sixteenth) or '1356' (mm), without the unit.

    Half a mark is at most 0.8 mm; every mark is measured from a chalk line, so that it never adds
    up.
    """
    if units == "metric":
        return f"{round(length_mm)}".replace("-", _MINUS)
    marks = round(length_mm / _MM_PER_INCH * _PARTS)
    sign, marks = (_MINUS if marks < 0 else ""), abs(marks)
    whole, rest = divmod(marks, _PARTS)
    part = str(Fraction(rest, _PARTS)) if rest else ""
    return sign + (" ".join(text for text in (str(whole) if whole else "", part) if text) or "0")


def tape_words(length_mm: float, units: UnitSystem) -> str:
    """The same with its unit."""
    return f"{tape(length_mm, units)} {TAPE_UNIT[units]}"


_LENGTHS = re.compile(r"(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? mm\b")


def lengths_in(text: str, units: UnitSystem) -> str:
    """A sentence of the take-off, which counts in mm, with its lengths in the reader's unit."""
    if units == "metric":
        return text

    def shown(found: re.Match[str]) -> str:
        ends = [tape(float(end), units) for end in found.groups() if end is not None]
        return f"{' to '.join(ends)} {TAPE_UNIT[units]}"

    return _LENGTHS.sub(shown, text)
