"""Wind measured by hand, held against the limits in force: it can shut, and never opens.

A reading over a limit contradicts the forecast that the verdict rests on. For `reading_wait_h` from
then on the exposure's word is no-go; and for the rest of its day every later hour stays shut whose
forecast gust is at least that of the reading's hour, since the forecast was too low there too. A
lower reading takes nothing back, only a correction does.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, tzinfo

from crewplan.model.chance import whole_percent
from crewplan.model.limit_row import CANONICAL_UNIT, Limit
from crewplan.model.reading import Reading
from crewplan.model.settings import Settings
from crewplan.model.units import WORDS, convert
from crewplan.model.verdict import DayVerdict, HourVerdict, Window
from crewplan.model.work_rows import Exposure
from crewplan.weather.limits import EffectiveLimits, value_of

_HOUR = timedelta(hours=1)
_ROUNDING = 1e-6
"""Metres a second: a reading of exactly the limit, converted from mph, is not over it."""


@dataclass(frozen=True, slots=True)
class Breach:
    """A reading over a limit."""

    reading: Reading
    limit: Limit
    value_mps: float
    until: datetime
    """When the wait after it ends."""


def over(
    reading: Reading, limits: EffectiveLimits, exposure: Exposure, wait: timedelta
) -> tuple[Breach, ...]:
    """What of a reading is over a limit of an exposure, and until when it shuts the work."""
    stops = limits.tightest(exposure, "stop")
    found = []
    for limit, value in (
        (stops.get("wind"), reading.mean_mps),
        (stops.get("gust"), _gust(reading)),
    ):
        if limit is not None and value is not None and value > value_of(limit) + _ROUNDING:
            # by instants: on the days of a clock change local hours are no hours
            found.append(Breach(reading, limit, value, reading.at.astimezone(UTC) + wait))
    return tuple(found)


def breaches(
    readings: Iterable[Reading], limits: EffectiveLimits, verdict: DayVerdict, wait: timedelta
) -> tuple[Breach, ...]:
    """Readings of the verdict's day that are over a limit of its exposure."""
    return tuple(
        breach
        for reading in readings
        if reading.at.astimezone(verdict.asked_at.tzinfo).date() == verdict.day
        for breach in over(reading, limits, verdict.exposure, wait)
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
    settings: Settings,
    crew: str = "",
) -> list[DayVerdict]:
    """The verdicts, shut where a reading of the same stage, job or crew is over a limit.

    Args:
        verdicts: as the gate gives them.
        readings: in any order; those of other days, places and crews change nothing.
        limits: in force.
        now: the clock that the verdicts were asked at.
        settings: how long a reading shuts.
        crew: the crew that the verdicts are for; empty: only stage and job tell.
    """
    all_of_them, wait = tuple(readings), timedelta(hours=settings.reading_wait_h)
    held = []
    for verdict in verdicts:
        mine = [one for one in all_of_them if _concerns(one, verdict, crew)]
        over = breaches(mine, limits, verdict, wait)
        held.append(_shut(verdict, over, now) if over else verdict)
    return held


def _concerns(reading: Reading, verdict: DayVerdict, crew: str) -> bool:
    return bool(
        (verdict.stage and reading.stage == verdict.stage)
        or (verdict.job and reading.job == verdict.job)
        or (crew and reading.crew == crew)
    )


def _shut(verdict: DayVerdict, over: Sequence[Breach], now: datetime) -> DayVerdict:
    hours = tuple(_hour(hour, over, verdict.hours) for hour in verdict.hours)
    shut = [new.hour for old, new in zip(verdict.hours, hours, strict=True) if new is not old]
    tz = verdict.asked_at.tzinfo
    # told by the worst of them, and shut until the wait after the last
    worst = replace(max(over, key=_excess), until=max(breach.until for breach in over))
    standing = [breach.until for breach in over if breach.until > now]
    words = breach_words(worst, tz)
    if standing:
        void = _earlier(verdict.void_after, max(standing)).astimezone(tz)
        return replace(
            verdict, hours=hours, verdict="no-go", why=words, windows=(), void_after=void
        )
    windows = tuple(part for one in verdict.windows for part in _left(one, shut, verdict, now))
    if verdict.verdict != "go":
        return replace(verdict, hours=hours)
    if not windows:
        return replace(verdict, hours=hours, verdict="no-go", why=words, windows=())
    spans = ", ".join(
        f"{one.start:%H:%M} to {one.end:%H:%M} ({whole_percent(one.p_go)}%)" for one in windows
    )
    void = _earlier(verdict.void_after, windows[-1].end).astimezone(tz)
    why = f"{words}; left is {spans}"
    return replace(verdict, hours=hours, why=why, windows=windows, void_after=void)


def _earlier(one: datetime | None, other: datetime) -> datetime:
    return other if one is None else min(one, other)


def _left(
    window: Window, shut: Sequence[datetime], verdict: DayVerdict, now: datetime
) -> list[Window]:
    """What is left of a window, where it is still long enough; its chance is no less there."""
    parts, start = [], max(window.start, now.astimezone(window.start.tzinfo))
    for hour in sorted(shut):
        if hour + _HOUR <= start or hour >= window.end:
            continue
        parts.append((start, max(start, hour)))
        start = hour + _HOUR
    parts.append((start, max(start, window.end)))
    needed = timedelta(hours=verdict.window_needed_h)
    return [Window(a, b, window.p_go) for a, b in parts if b - a >= needed]


def _excess(breach: Breach) -> float:
    return breach.value_mps - value_of(breach.limit)


def _covers(breach: Breach, hour: HourVerdict, hours: Sequence[HourVerdict]) -> bool:
    """Whether an hour is touched by the wait, or comes later with as much gust in the forecast."""
    at, begins = breach.reading.at.astimezone(UTC), hour.hour.astimezone(UTC)
    if at >= begins + _HOUR:
        return False
    if begins < breach.until:
        return True
    ages = ((at - one.hour.astimezone(UTC), one.gust_mps) for one in hours)
    then = next((gust for age, gust in ages if timedelta(0) <= age < _HOUR), None)
    # what the forecast said then, or says later, may not be known: no reason to go on
    return then is None or hour.gust_mps is None or hour.gust_mps >= then


def _hour(hour: HourVerdict, over: Sequence[Breach], hours: Sequence[HourVerdict]) -> HourVerdict:
    """No-go where a reading covers the hour."""
    mine = [one for one in over if _covers(one, hour, hours)]
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
    """'measured on the roof at 09:40: gust 29 mph, over 26 mph; no-go until 10:10 ...'."""
    at, until = (one.astimezone(tz) for one in (breach.reading.at, breach.until))
    name = "mean wind" if breach.limit.measure == "wind" else "gust"
    unit = breach.limit.unit if breach.limit.unit.lower() in WORDS else "m/s"
    value, limit = (
        f"{convert(speed, 'mps', WORDS[unit.lower()]):.3g} {unit}"
        for speed in (breach.value_mps, value_of(breach.limit))
    )
    return (
        f"measured on the {breach.reading.where} at {at:%H:%M}: {name} {value}, over {limit};"
        f" no-go until {until:%H:%M}, and in each later hour of the day with as much gust forecast"
    )
