"""The word for each hour, and the measure that decides it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.limit_row import CANONICAL_UNIT, Limit
from crewplan.model.verdict import Verdict
from crewplan.weather.judge import Check, Judged
from crewplan.weather.limits import AT_LEAST, value_of
from crewplan.weather.site_hours import SiteHours

_NEAR_C = 20.0
"""A temperature so far inside its limit counts as not near it at all (for naming only)."""

_LEAST_BOUND = 1e-6
"""A limit under this is near whatever the value (for naming only)."""

ADVICE = {"heat_index": "water, shade, breaks"}
"""What to do about a caution, by measure."""


def words(hours: SiteHours, least: float) -> list[Verdict]:
    """Go, no-go or unknown for each hour.

    No-go where even with every missing value good too few rows would be within limits; else
    unknown where any needed value is missing or stale; else by the share of good rows.
    """
    hopeful = hours.hopeful.mean(axis=0)
    share = hours.good.mean(axis=0)
    named: list[Verdict] = []
    for at in range(len(share)):
        if hopeful[at] < least:
            named.append("no-go")
        elif not hours.known[at]:
            named.append("unknown")
        else:
            named.append("go" if share[at] >= least else "no-go")
    return named


@dataclass(frozen=True, slots=True)
class Decisive:
    """The measure that decides an hour."""

    measure: str
    value: float | None
    limit: float | None
    unit: str


@dataclass(frozen=True, slots=True, eq=False)
class Tally:
    """One check over all rows, by hour: [H] each."""

    limit: Limit
    breaks: NDArray[np.int64]
    missing: NDArray[np.int64]
    level: NDArray[np.float64]
    """The value that the asked share of rows does not exceed (at least: does not fall under)."""
    nearness: NDArray[np.float64]
    """1 at the limit, 0 far inside it."""


def _level(check: Check, least: float) -> NDArray[np.float64]:
    """NaN where nothing is known."""
    sign = -1.0 if check.limit.measure in AT_LEAST else 1.0
    ordered = np.sort(sign * check.value, axis=0)
    there = np.isfinite(ordered).sum(axis=0)
    rank = math.ceil(least * len(ordered) - 1e-9) - 1
    at = np.clip(np.minimum(rank, there - 1), 0, None)
    return np.asarray(sign * ordered[at, np.arange(ordered.shape[1])], dtype=np.float64)


def _nearness(limit: Limit, level: NDArray[np.float64]) -> NDArray[np.float64]:
    bound = value_of(limit)
    if limit.measure in ("thunder", "wet", "film"):
        return np.zeros_like(level)
    if CANONICAL_UNIT[limit.measure] == "degC":
        inside = level - bound if limit.measure in AT_LEAST else bound - level
        return np.clip(1.0 - inside / _NEAR_C, 0.0, None)
    return level / bound if bound > _LEAST_BOUND else np.ones_like(level)


def tally(check: Check, least: float) -> Tally:
    """Counts and the level that the gate asks for, so that sites of a place share them."""
    level = _level(check, least)
    return Tally(
        check.limit,
        check.breaks.sum(axis=0),
        (~check.full).sum(axis=0),
        level,
        np.nan_to_num(_nearness(check.limit, level)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Tallies:
    """All checks of a judged place and exposure."""

    stops: tuple[Tally, ...]
    cautions: tuple[Tally, ...]
    light: Limit | None
    light_caution: bool
    rows: int


def tallies(judged: Judged, least: float) -> Tallies:
    """See `Tally`."""
    return Tallies(
        tuple(tally(check, least) for check in judged.stops),
        tuple(tally(check, least) for check in judged.cautions),
        judged.light,
        judged.light_caution,
        len(judged.hopeful),
    )


def _named(one: Tally, at: int, *, known: bool) -> Decisive:
    value = float(one.level[at])
    return Decisive(
        one.limit.measure,
        value if known and math.isfinite(value) else None,
        value_of(one.limit),
        CANONICAL_UNIT[one.limit.measure],
    )


def decisive(
    counted: Tallies, verdict: Verdict, at: int, *, light: bool, frost: bool, in_reach: bool
) -> Decisive:
    """What decides hour `at`.

    Light first where the sun is down; for unknown the measure that most rows lack; else the one
    that breaks in most rows, and where none breaks the one nearest to its limit.
    """
    if counted.light is not None and not light:
        return Decisive("light", 1.0, value_of(counted.light), CANONICAL_UNIT["light"])
    live = [one for one in counted.stops if one.limit.measure != "frost" or frost]
    if verdict == "unknown":
        lacking = (*counted.stops, *counted.cautions)
        if not lacking:
            return Decisive("", None, None, "")
        worst = lacking[0]
        if in_reach:
            worst = max(lacking, key=lambda one: int(one.missing[at]))
        return _named(worst, at, known=False)
    if not live:
        if counted.light is None:
            return Decisive("", None, None, "")
        return Decisive("light", 0.0, value_of(counted.light), CANONICAL_UNIT["light"])
    worst = max(live, key=lambda one: (int(one.breaks[at]), float(one.nearness[at])))
    return _named(worst, at, known=True)


def caution_texts(
    counted: Tallies, at: int, least: float, *, light: bool, frost: bool
) -> tuple[str, ...]:
    """Cautions that fewer than the asked share of rows keep within their limit."""
    texts = [] if light or not counted.light_caution else ["the sun is down: light the work"]
    for one in counted.cautions:
        if one.limit.measure == "frost" and not frost:
            continue
        if (counted.rows - one.breaks[at]) / counted.rows < least:
            what = one.limit.measure.replace("_", " ")
            advice = ADVICE.get(one.limit.measure, "take care")
            texts.append(f"{what} is outside its caution limit: {advice}")
    return tuple(texts)
