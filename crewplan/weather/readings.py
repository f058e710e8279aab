"""Wind measured by hand, held against the limits in force: it can shut, and never opens.

A reading over a limit contradicts the forecast that the verdict rests on. While it stands, the
exposure's word is no-go, its windows are withheld, and the hours that it covers are no-go; a lower
reading after it takes nothing back, only time or its correction does.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, tzinfo

from crewplan.model.limit_row import CANONICAL_UNIT, Limit
from crewplan.model.reading import Reading
from crewplan.model.units import WORDS, convert
from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.model.work_rows import Exposure
from crewplan.weather.limits import EffectiveLimits, value_of

READING_STANDS = timedelta(hours=1)
"""How long a reading over a limit keeps the work shut. Assumed: an hour, one step of the forecast,
within which somebody on site can measure again."""

_HOUR = timedelta(hours=1)
_ROUNDING = 1e-6
"""Metres a second: a reading of exactly the limit, converted from mph, is not over it."""


@dataclass(frozen=True, slots=True)
class Breach:
    """A reading over a limit."""

    reading: Reading
    limit: Limit
    value_mps: float

    @property
    def until(self) -> datetime:
        """When it no longer stands."""
        return self.reading.at + READING_STANDS


def over(reading: Reading, limits: EffectiveLimits, exposure: Exposure) -> tuple[Breach, ...]:
    """What of a reading is over a limit of an exposure."""
    stops = limits.tightest(exposure, "stop")
    found = []
    for limit, value in (
        (stops.get("wind"), reading.mean_mps),
        (stops.get("gust"), _gust(reading)),
    ):
        if limit is not None and value is not None and value > value_of(limit) + _ROUNDING:
            found.append(Breach(reading, limit, value))
    return tuple(found)


def breaches(
    readings: Iterable[Reading], limits: EffectiveLimits, verdict: DayVerdict, now: datetime
) -> tuple[Breach, ...]:
    """Readings of the verdict's day that still stand and are over a limit of its exposure."""
    return tuple(
        breach
        for reading in readings
        if reading.at.astimezone(verdict.asked_at.tzinfo).date() == verdict.day
        and reading.at + READING_STANDS > now
        for breach in over(reading, limits, verdict.exposure)
    )


def _gust(reading: Reading) -> float | None:
    """The highest value seen: no gust is below the mean that it is part of."""
    seen = [value for value in (reading.gust_mps, reading.mean_mps) if value is not None]
    return max(seen, default=None)


def held_to_readings(
    verdicts: Sequence[DayVerdict],
    readings: Iterable[Reading],
    limits: EffectiveLimits,
    now: datetime,
    crew: str = "",
) -> list[DayVerdict]:
    """The verdicts, shut where a reading of the same stage, job or crew is over a limit.

    Args:
        verdicts: as the gate gives them.
        readings: in any order; those of other days, places and crews change nothing.
        limits: in force.
        now: the clock that the verdicts were asked at.
        crew: the crew that the verdicts are for; empty: only stage and job tell.
    """
    all_of_them = tuple(readings)
    held = []
    for verdict in verdicts:
        mine = [one for one in all_of_them if _concerns(one, verdict, crew)]
        over = breaches(mine, limits, verdict, now)
        held.append(_shut(verdict, over) if over else verdict)
    return held


def _concerns(reading: Reading, verdict: DayVerdict, crew: str) -> bool:
    return bool(
        (verdict.stage and reading.stage == verdict.stage)
        or (verdict.job and reading.job == verdict.job)
        or (crew and reading.crew == crew)
    )


def _shut(verdict: DayVerdict, over: Sequence[Breach]) -> DayVerdict:
    until = max(breach.until for breach in over)
    void = until if verdict.void_after is None else min(verdict.void_after, until)
    hours = tuple(_hour(hour, over) for hour in verdict.hours)
    return replace(
        verdict,
        verdict="no-go",
        why=breach_words(max(over, key=_excess), verdict.asked_at.tzinfo),
        windows=(),
        hours=hours,
        void_after=void.astimezone(verdict.asked_at.tzinfo),
    )


def _excess(breach: Breach) -> float:
    return breach.value_mps - value_of(breach.limit)


def _hour(hour: HourVerdict, over: Sequence[Breach]) -> HourVerdict:
    """No-go where a reading that stands touches the hour."""
    mine = [one for one in over if one.reading.at < hour.hour + _HOUR and hour.hour < one.until]
    if not mine:
        return hour
    worst = max(mine, key=_excess)
    return replace(
        hour,
        verdict="no-go",
        measure=worst.limit.measure,
        value=worst.value_mps,
        limit=value_of(worst.limit),
        unit=CANONICAL_UNIT[worst.limit.measure],
        p_go=0.0,
    )


def breach_words(breach: Breach, tz: tzinfo | None) -> str:
    """'measured on the roof at 09:40: gust 29 mph, over 26 mph; no-go until 10:40 ...'."""
    at, until = (one.astimezone(tz) for one in (breach.reading.at, breach.until))
    name = "mean wind" if breach.limit.measure == "wind" else "gust"
    unit = breach.limit.unit if breach.limit.unit.lower() in WORDS else "m/s"
    value, limit = (
        f"{convert(speed, 'mps', WORDS[unit.lower()]):.3g} {unit}"
        for speed in (breach.value_mps, value_of(breach.limit))
    )
    return (
        f"measured on the {breach.reading.where} at {at:%H:%M}: {name} {value}, over {limit};"
        f" no-go until {until:%H:%M}, then measure again"
    )
