"""Each measure of each hour and row against its limit, for one place; the sun comes in later."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.limit_row import Limit, Measure
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.weather.drying import FILM_MM, LOOK_BACK_H, drying_mm_per_h
from crewplan.weather.grid import HOUR_S
from crewplan.weather.heat import heat_index_c
from crewplan.weather.limits import EffectiveLimits, value_of
from crewplan.weather.rows import Rows

MEASURABLE_RAIN_MM = 0.25
"""An hour with more counts as rain when asking how long ago it rained (0.01 in, public weather
service); a stricter limit on rain makes this stricter too."""

BY_SUN: frozenset[Measure] = frozenset({"light", "frost"})
"""Measures that hang on where the sun stands at the site."""

_FIELD: dict[Measure, str] = {
    "wind": "wind",
    "gust": "gust",
    "rain": "rain",
    "temperature_low": "temperature_low",
    "frost": "temperature_low",
    "temperature_high": "temperature_high",
}


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """Hours asked for, and the hours before them that their limits look back on."""

    starts_s: NDArray[np.int64]
    """[H], in the order asked for."""
    all_s: NDArray[np.int64]
    """[X], ascending and distinct: those and the ones looked back on."""
    back: NDArray[np.int64]
    """[L + 1, H]: where in `all_s` the hour stands that is 0, 1 .. L hours earlier."""


def asked_hours(starts_s: NDArray[np.int64], limits: EffectiveLimits) -> Asked:
    """Adds the hours that the limits on wet and thunder look back on."""
    wet = [value_of(row) for rows in limits.rows.values() for row in rows if row.measure == "wet"]
    film = any(row.measure == "film" for rows in limits.rows.values() for row in rows)
    deepest = max(1, *(math.ceil(n) for n in wet), LOOK_BACK_H if film else 1)
    lags = np.arange(deepest + 1) * HOUR_S
    wanted = starts_s[None, :] - lags[:, None]
    all_s = np.unique(wanted)
    return Asked(starts_s, all_s, np.searchsorted(all_s, wanted))


@dataclass(frozen=True, slots=True, eq=False)
class Check:
    """One measure against its strictest limit: R rows by H hours."""

    limit: Limit
    value: NDArray[np.float64]
    """[R, H] in `CANONICAL_UNIT`; NaN where nothing is known."""
    breaks: NDArray[np.bool_]
    """[R, H]: known to be out of limits, whatever is missing."""
    full: NDArray[np.bool_]
    """[R, H]: all that is needed is there and fresh."""


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """All measures of one exposure at one place."""

    stops: tuple[Check, ...]
    """Without `light`."""
    cautions: tuple[Check, ...]
    light: Limit | None
    """The stop row on light, if there is one."""
    light_caution: bool
    """A caution row on light."""
    limited: bool
    """Some limit stops this exposure; without any, nothing is ever good."""
    hopeful: NDArray[np.bool_]
    """[R, H]: nothing known breaks a limit, frost and light left aside."""
    full: NDArray[np.bool_]
    """[R, H]: every value that a stop or a caution needs is there."""
    spare: bool


def _check(limit: Limit, rows: Rows, asked: Asked, rain_limit_mm: float) -> Check:
    measure, bound = limit.measure, value_of(limit)
    here = asked.back[0]
    if measure == "wet":
        return _wet(limit, rows, asked, min(MEASURABLE_RAIN_MM, rain_limit_mm))
    if measure == "film":
        return _film(limit, rows, asked, min(MEASURABLE_RAIN_MM, rain_limit_mm))
    if measure == "thunder":
        both = asked.back[:2]
        value = np.fmax.reduce([rows.value["thunder"][:, at] for at in both])
        full = np.logical_and.reduce([rows.full["thunder"][:, at] for at in both])
        return Check(limit, value, value > 0, full)
    if measure == "heat_index":
        value = heat_index_c(
            rows.value["temperature_high"][:, here], rows.value["humidity"][:, here]
        )
        full = rows.full["temperature_high"][:, here] & rows.full["humidity"][:, here]
        return Check(limit, value, value > bound, full)
    value = rows.value[_FIELD[measure]][:, here]
    full = rows.full[_FIELD[measure]][:, here]
    breaks = value < bound if measure in ("frost", "temperature_low") else value > bound
    return Check(limit, value, breaks, full)


def _wet(limit: Limit, rows: Rows, asked: Asked, rain_mm: float) -> Check:
    """Hours since the last rain; the hour itself counts, so that rain alone shuts it too."""
    bound = value_of(limit)
    rain, there = rows.value["rain"], rows.full["rain"]
    since = np.where(np.isnan(rain[:, asked.back[0]]), np.nan, bound)
    full = there[:, asked.back[0]]
    breaks = np.zeros(full.shape, dtype=np.bool_)
    for lag in range(math.ceil(bound), -1, -1) if bound > 0 else ():
        fell = rain[:, asked.back[lag]] > rain_mm
        since = np.where(fell, max(lag - 1, 0), since)
        breaks = breaks | fell
        full = full & there[:, asked.back[lag]]
    return Check(limit, since, breaks, full)


def _film(limit: Limit, rows: Rows, asked: Asked, rain_mm: float) -> Check:
    """Water left on the roof at the hour's start, and new rain in it.

    What is not known dries at once here, so that a break is one whatever is missing.
    """
    rain, there = rows.value["rain"], rows.full["rain"]
    rate = drying_mm_per_h(rows.value["temperature_low"], rows.value["humidity"])
    drying = np.where(np.isnan(rate), FILM_MM, rate)
    air = rows.full["temperature_low"] & rows.full["humidity"]
    left = np.zeros(there[:, asked.back[0]].shape)
    full = np.ones(left.shape, dtype=np.bool_)
    for lag in range(LOOK_BACK_H, -1, -1):
        at = asked.back[lag]
        left = np.where(rain[:, at] > rain_mm, FILM_MM, left)
        full &= there[:, at]
        if lag:
            fell = rain[:, at] > rain_mm
            left = np.where(fell, left, np.clip(left - drying[:, at], 0.0, None))
            full &= air[:, at]
    return Check(limit, left, left > value_of(limit), full)


def judge(
    rows: Rows, asked: Asked, limits: EffectiveLimits, exposures: tuple[Exposure, ...] = EXPOSURES
) -> dict[Exposure, Judged]:
    """Compares the rows of one place, over `asked.all_s`, with what holds for each exposure."""
    made: dict[tuple[Limit, float], Check] = {}

    def check(limit: Limit, rain_mm: float) -> Check:
        key = (limit, rain_mm if limit.measure in ("wet", "film") else 0.0)
        if key not in made:
            made[key] = _check(limit, rows, asked, rain_mm)
        return made[key]

    shape = (len(next(iter(rows.full.values()))), len(asked.starts_s))
    judged: dict[Exposure, Judged] = {}
    for exposure in exposures:
        stop = limits.tightest(exposure, "stop")
        caution = limits.tightest(exposure, "caution")
        rain_mm = value_of(stop["rain"]) if "rain" in stop else math.inf
        stops = tuple(check(row, rain_mm) for row in stop.values() if row.measure != "light")
        cautions = tuple(check(row, rain_mm) for row in caution.values() if row.measure != "light")
        hopeful = np.ones(shape, dtype=np.bool_)
        full = np.ones(shape, dtype=np.bool_)
        for one in stops:
            if one.limit.measure not in BY_SUN:
                hopeful &= ~one.breaks
        for one in (*stops, *cautions):
            full &= one.full
        judged[exposure] = Judged(
            stops,
            cautions,
            stop.get("light"),
            "light" in caution,
            bool(stop),
            hopeful,
            full,
            rows.spare,
        )
    return judged


def looks_back(judged: Judged) -> int:
    """Hours before an hour that its verdict needs too."""
    lags = [0]
    for one in (*judged.stops, *judged.cautions):
        if one.limit.measure == "thunder":
            lags.append(1)
        if one.limit.measure == "wet":
            lags.append(math.ceil(value_of(one.limit)))
        if one.limit.measure == "film":
            lags.append(LOOK_BACK_H)
    return max(lags)
