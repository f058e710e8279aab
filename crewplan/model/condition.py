"""The small grammar of `factors.condition`: `covering=tile`, `storeys>=2`, `pitch_deg>=30`."""

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, get_args

from crewplan.model.job_rows import Covering, Electrical, LiftMethod, Orientation

JOB_NUMBERS = ("storeys",)
JOB_WORDS = ("lift_method", "electrical")
PLANE_NUMBERS = ("pitch_deg", "eave_height_m", "rafter_spacing_mm", "unevenness_mm")
PLANE_WORDS = ("covering", "orientation", "racking", "module")
MEASURES = JOB_NUMBERS + JOB_WORDS + PLANE_NUMBERS + PLANE_WORDS
"""Columns of jobs and planes that a condition may ask about."""

_KNOWN_WORDS: dict[str, tuple[str, ...]] = {
    "lift_method": get_args(LiftMethod),
    "electrical": get_args(Electrical),
    "covering": get_args(Covering),
    "orientation": get_args(Orientation),
}
_FORM = re.compile(r"\s*([A-Za-z_]+)\s*(>=|<=|=)\s*([^\s<>=].*?)\s*")


@dataclass(frozen=True, slots=True)
class Condition:
    """`measure sign value`; a number for the measures that are numbers, else a word."""

    measure: str
    sign: Literal["=", ">=", "<="]
    value: float | str

    @property
    def text(self) -> str:
        """The condition as tables write it, the same for all ways to write it."""
        value = self.value if isinstance(self.value, str) else f"{self.value:.10g}"
        return f"{self.measure}{self.sign}{value}"

    def holds(self, actual: float | str | None) -> bool:
        """Whether a column's value fulfils it; an empty cell never does."""
        if actual is None or isinstance(actual, str) or isinstance(self.value, str):
            return actual == self.value
        if self.sign == ">=":
            return actual >= self.value
        return actual <= self.value if self.sign == "<=" else actual == self.value


@lru_cache(maxsize=1024)
def parse_condition(text: str) -> Condition:
    """Read one condition.

    Raises:
        ValueError: saying what was expected; words only take `=`.
    """
    form = _FORM.fullmatch(text)
    if form is None:
        raise ValueError("expected a condition such as covering=tile, storeys>=2, pitch_deg>=30")
    measure, sign, value = form.groups()
    measure = measure.lower()
    if measure not in MEASURES:
        raise ValueError(f"expected one of {', '.join(MEASURES)} before the sign")
    if measure in JOB_WORDS + PLANE_WORDS:
        if sign != "=":
            raise ValueError(f"expected {measure}= and a word")
        if measure in _KNOWN_WORDS:
            value = "_".join(value.lower().split())
        if value not in _KNOWN_WORDS.get(measure, (value,)):
            raise ValueError(f"expected {measure}= and one of {', '.join(_KNOWN_WORDS[measure])}")
        return Condition(measure, "=", value)
    try:
        number = float(value)
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise ValueError(f"expected a number after {measure}{sign}")
    if sign == ">=":
        return Condition(measure, ">=", number)
    return Condition(measure, "<=" if sign == "<=" else "=", number)
