"""One sentence on why a day's word is what it is, and the sources that it rests on."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from crewplan.model.chance import whole_percent
from crewplan.model.error_rows import LEAST_PAIRS, ForecastError
from crewplan.model.verdict import HourVerdict, Verdict
from crewplan.model.work_rows import Exposure
from crewplan.weather.assumed_error import FEW
from crewplan.weather.day_answer import DayAnswer
from crewplan.weather.limits import EffectiveLimits, describe

_TINY = 1e-6
"""So that 2.1 h, which floats hold as a hair more than 21 tenths, stays 2.1."""


@dataclass(frozen=True, slots=True)
class Footing:
    """What a verdict stands on, for its sentence."""

    exposure: Exposure
    needed_h: float
    out_of_reach_km: float
    """Distance of the nearest place where that is too far; else 0."""
    reach_km: float
    limited: bool
    """Some limit is left."""
    age_h: float | None
    """Of the oldest forecast used; None: there is none."""
    max_age_h: float


def _most(hours: Sequence[HourVerdict], verdict: Verdict) -> str:
    """The measures that decide most hours of a verdict."""
    counted = Counter(
        hour.measure.replace("_", " ") for hour in hours if hour.verdict == verdict and hour.measure
    )
    return ", ".join(name for name, _ in counted.most_common(2))


def _rounded_up(hours: float) -> str:
    """Tenths of an hour, never less than what is needed."""
    return f"{math.ceil(hours * 10 - _TINY) / 10:g}"


def why(footing: Footing, answer: DayAnswer, ahead: Sequence[HourVerdict]) -> str:
    """One sentence; `ahead` are the hours of the shift that are left."""
    if answer.verdict == "go":
        spans = ", ".join(
            f"{one.start:%H:%M} to {one.end:%H:%M} ({whole_percent(one.p_go)}%)"
            for one in answer.windows
        )
        return f"within limits for {_rounded_up(footing.needed_h)} h or more: {spans}"
    if answer.verdict == "no-go":
        return _why_no_go(footing, ahead)
    return f"unknown counts as no-go: {_unknown(footing, ahead)}"


def _why_no_go(footing: Footing, ahead: Sequence[HourVerdict]) -> str:
    if not ahead:
        return "nothing of the day's shift is left"
    shut = _most(ahead, "no-go")
    because = f"; what shuts most hours: {shut}" if shut else ""
    return f"no {_rounded_up(footing.needed_h)} h in a row within limits are left{because}"


def _unknown(footing: Footing, ahead: Sequence[HourVerdict]) -> str:
    if not footing.limited:
        return f"no limit is left for {footing.exposure}"
    if footing.out_of_reach_km == float("inf"):
        return "no place of the forecast has coordinates"
    if footing.out_of_reach_km:
        return (
            f"the nearest forecast is {footing.out_of_reach_km:.0f} km away, "
            f"more than {footing.reach_km:g} km"
        )
    if footing.age_h is None:
        return "there is no forecast for these hours"
    if footing.age_h > footing.max_age_h:
        return f"the forecast is {footing.age_h:.0f} h old, more than {footing.max_age_h:g} h"
    return f"values are missing ({_most(ahead, 'unknown')})"


def sources(
    limits: EffectiveLimits,
    exposure: Exposure,
    members: int,
    errors: Sequence[ForecastError] = (),
) -> tuple[str, ...]:
    """Limits obeyed, then what the folder loosened or took away, then errors assumed or learned."""
    obeyed = [describe(row) for row in limits.rows[exposure]]
    few = f"members of the forecast: {members}; an assumed error is put around them"
    return (
        *obeyed,
        *limits.notes,
        *((few,) if members < FEW else ()),
        *_record(members, errors),
    )


def _record(members: int, errors: Sequence[ForecastError]) -> Iterator[str]:
    """Which measures have a record of their own that is long enough, and how it counts."""
    counts = {row.measure: 0 for row in errors if row.pairs >= LEAST_PAIRS}
    for row in errors:
        if row.measure in counts:
            counts[row.measure] += row.pairs
    how = (
        "the larger of it and the assumed error counts"
        if members < FEW
        else "the worse of members as told and as calibrated by it counts"
    )
    for measure, pairs in counts.items():
        yield f"error of {measure} from this branch's record ({pairs} hours): {how}"
    short = {row.measure for row in errors} - counts.keys()
    for measure in sorted(short):
        yield f"this branch's record of {measure} is too short to count"
