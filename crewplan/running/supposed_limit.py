"""A limit as a question names it: `gust_mph=22`, `roof.wind_mph=20`."""

import math
from typing import get_args

from crewplan.model.branch import Branch
from crewplan.model.limit_row import CANONICAL_UNIT, Limit, Measure
from crewplan.model.units import WORDS, convert, suffix_of
from crewplan.model.work_rows import EXPOSURES
from crewplan.weather import effective_limits
from crewplan.weather.limits import AT_LEAST

_NO_VALUE: frozenset[str] = frozenset({"light", "thunder"})


class LimitFault(ValueError):
    """The text is no limit, or a looser one than holds; one sentence."""


def supposed_limit(branch: Branch, text: str) -> Limit:
    """A stop row of lift, or of the exposure before the point.

    Only stricter ones than hold: a question must not show how much a broken limit would save.

    Raises:
        LimitFault: with what was expected.
    """
    left, mark, number = text.partition("=")
    exposure, point, name = left.strip().rpartition(".")
    exposure = exposure if point else "lift"
    suffix = suffix_of(name)
    measure = name.removesuffix(f"_{suffix}") if suffix else name
    if not mark or exposure not in EXPOSURES or measure not in set(get_args(Measure)) - _NO_VALUE:
        raise LimitFault("expected a measure with its unit and a value, such as gust_mph=22")
    unit = WORDS[CANONICAL_UNIT[measure].lower()]
    try:
        value = convert(float(number), suffix or unit, unit)
    except ValueError:
        raise LimitFault(f"{number!r} is no value of {name}") from None
    if not math.isfinite(value):
        raise LimitFault(f"{number!r} is no value of {name}")
    row = Limit(
        next(one for one in EXPOSURES if one == exposure),
        next(one for one in get_args(Measure) if one == measure),
        value,
        CANONICAL_UNIT[measure],
        source=text,
    )
    held = effective_limits(branch.package_limits, branch.limits).tightest(row.exposure, "stop")
    there = held.get(row.measure)
    if there is not None and there.at_most is not None:
        looser = value < there.at_most if row.measure in AT_LEAST else value > there.at_most
        if looser:
            raise LimitFault("it is looser than the limit that holds; only a stricter one is asked")
    return row
