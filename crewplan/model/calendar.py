"""Working days, shifts and half-days of a branch, also across both clock changes."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from crewplan.model.settings import MOST_OVERTIME_H, WEEKDAYS, Settings

HOUR = timedelta(hours=1)
_MOST_DAYS_OFF = 400
"""A branch that is closed longer than this has no next working day."""


class NoWorkingDay(ValueError):
    """The settings leave no working day within a year."""


@dataclass(frozen=True, slots=True)
class ShiftHour:
    """A clock hour that the shift touches, and how much of it is working time of each half-day."""

    start: datetime
    """Local, on the hour, with its offset."""
    am_h: float
    pm_h: float
    over_h: float = 0.0
    """Overtime in it, where that is asked for."""


@lru_cache(maxsize=64)
def public_holidays(country: str, subdivision: str, year: int) -> frozenset[date]:
    """Public holidays of one year, by the holidays package's names."""
    import holidays  # heavy, and only needed where a branch keeps them

    days = holidays.country_holidays(country, subdiv=subdivision or None, years=year)
    return frozenset(days.keys())


def zone(settings: Settings) -> ZoneInfo:
    """The branch's time zone."""
    return ZoneInfo(settings.timezone)


def local_day(settings: Settings, now: datetime) -> date:
    """The branch's calendar day at an instant."""
    return now.astimezone(zone(settings)).date()


def is_working_day(settings: Settings, day: date) -> bool:
    """Whether the branch works; `open_on` wins over everything, `closed_on` over the rest."""
    if day in settings.open_on:
        return True
    if day in settings.closed_on or WEEKDAYS[day.weekday()] not in settings.workdays:
        return False
    off = settings.holidays
    return off is None or day not in public_holidays(off.country, off.subdivision, day.year)


def working_days(settings: Settings, first: date, count: int) -> tuple[date, ...]:
    """The first `count` working days from `first` on, itself included.

    Raises:
        NoWorkingDay: where none is found within `_MOST_DAYS_OFF` days.
    """
    days: list[date] = []
    day, idle = first, 0
    while len(days) < count:
        if is_working_day(settings, day):
            days.append(day)
            idle = 0
        else:
            idle += 1
            if idle > _MOST_DAYS_OFF:
                raise NoWorkingDay(f"no working day within {_MOST_DAYS_OFF} days of {first}")
        day += timedelta(days=1)
    return tuple(days)


def next_working_day(settings: Settings, after: date) -> date:
    """The first working day later than `after`."""
    return working_days(settings, after + timedelta(days=1), 1)[0]


def frozen_days(settings: Settings, now: datetime) -> frozenset[date]:
    """Today and the next `freeze_days` working days after it (for a branch with a plan)."""
    today = local_day(settings, now)
    later = working_days(settings, today + timedelta(days=1), settings.freeze_days)
    return frozenset((today, *later))


def shift_bounds(settings: Settings, day: date) -> tuple[datetime, datetime]:
    """Start and end of the shift, local, with offsets; the length is elapsed time."""
    tz = zone(settings)
    start = datetime.combine(day, settings.shift_start, tz)
    end = (start.astimezone(UTC) + settings.shift_h * HOUR).astimezone(tz)
    return start, end


def half_day_bounds(settings: Settings, day: date) -> tuple[tuple[datetime, datetime], ...]:
    """Working time of am and pm, local: half of the shift each, half of the break out of each."""
    start, end = (instant.astimezone(UTC) for instant in shift_bounds(settings, day))
    middle = start + (end - start) / 2
    rest = min(settings.break_h, settings.shift_h) / 2 * HOUR
    tz = zone(settings)
    return (
        (start.astimezone(tz), (middle - rest).astimezone(tz)),
        ((middle + rest).astimezone(tz), end.astimezone(tz)),
    )


def _overlap_h(a: tuple[datetime, datetime], b: tuple[datetime, datetime]) -> float:
    return max(0.0, (min(a[1], b[1]) - max(a[0], b[0])) / HOUR)


def longest_overtime_h(settings: Settings) -> float:
    """Hours after the shift that a branch could allow at most: the day ends at midnight."""
    begin = settings.shift_start
    to_midnight = 24 - begin.hour - begin.minute / 60 - settings.shift_h
    return max(0.0, min(float(MOST_OVERTIME_H), to_midnight))


def shift_hours(settings: Settings, day: date, over_h: float = 0.0) -> tuple[ShiftHour, ...]:
    """The clock hours that the shift touches, in order, and so many hours after its end."""
    am, pm = ((a.astimezone(UTC), b.astimezone(UTC)) for a, b in half_day_bounds(settings, day))
    tz = zone(settings)
    start, end = shift_bounds(settings, day)
    hour = start.replace(minute=0, second=0, microsecond=0).astimezone(UTC)
    hours: list[ShiftHour] = []
    over = (end.astimezone(UTC), end.astimezone(UTC) + over_h * HOUR)
    while hour < over[1]:
        block = (hour, hour + HOUR)
        worked = (_overlap_h(block, half) for half in (am, pm, over))
        hours.append(ShiftHour(hour.astimezone(tz), *worked))
        hour += HOUR
    return tuple(hours)
