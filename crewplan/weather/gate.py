"""The weather gate: verdicts by day, exposure and site, with windows and the time they are void."""

from collections.abc import Sequence
from datetime import date, datetime

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.calendar import shift_bounds, shift_hours
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.weather.day_answer import ShiftDay
from crewplan.weather.desk import Clock, Desk
from crewplan.weather.forecast import epoch_s, forecast
from crewplan.weather.grid import HOUR_S
from crewplan.weather.site import Site


def day_verdicts(
    branch: Branch,
    day: date,
    now: datetime,
    *,
    site: Site | None = None,
    exposures: tuple[Exposure, ...] = EXPOSURES,
    clock: Clock = "now",
) -> list[DayVerdict]:
    """Verdicts of one day at one site, one for each exposure.

    Args:
        branch: its forecast, limits and settings.
        day: a local day of the branch; its shift's hours are judged, past ones too.
        now: the clock, timezone-aware. Windows lie after it.
        site: where; None: the branch's own place.
        exposures: which, in the order of the answer.
        clock: whether `now` was set by hand; every verdict carries it on.
    """
    return verdicts(branch, [day], now, [site], exposures=exposures, clock=clock)


def verdicts(
    branch: Branch,
    days: Sequence[date],
    now: datetime,
    sites: Sequence[Site | None],
    *,
    exposures: tuple[Exposure, ...] = EXPOSURES,
    clock: Clock = "now",
) -> list[DayVerdict]:
    """Verdicts of many sites and distinct days, by site, day and exposure; see `day_verdicts`."""
    settings = branch.settings
    asked = [site or Site(settings.latitude, settings.longitude) for site in sites]
    starts = [[hour.start for hour in shift_hours(settings, day)] for day in days]
    flat = [start for hours in starts for start in hours]
    told = forecast(
        branch,
        np.array([epoch_s(start) for start in flat], dtype=np.int64),
        now,
        [site.spot for site in asked],
        purpose="gate",
        exposures=exposures,
    )
    first = np.cumsum([0, *(len(hours) for hours in starts)]).tolist()
    shifts = [_shift_day(branch, day, first[at], starts[at], now) for at, day in enumerate(days)]
    desk = Desk(branch, told, flat, now)
    return [
        desk.verdict(at, site, days[which], shifts[which], exposure, clock)
        for at, site in enumerate(asked)
        for which in range(len(days))
        for exposure in exposures
    ]


def _shift_day(
    branch: Branch, day: date, first: int, starts: Sequence[datetime], now: datetime
) -> ShiftDay:
    opens, closes = (edge.timestamp() for edge in shift_bounds(branch.settings, day))
    opens = max(opens, now.timestamp())
    spans = tuple(
        (max(start.timestamp(), opens), min(start.timestamp() + HOUR_S, closes)) for start in starts
    )
    return ShiftDay(first, first + len(starts), spans)
