"""Hours beyond the forecast, from past weather of the same season. For planning only.

Whole past days stand in for the members, so that the hours of a day keep together, and days that
follow each other are taken from days that did.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import zone
from crewplan.model.work_rows import EXPOSURES
from crewplan.weather.forecast import Forecast, PlaceForecast
from crewplan.weather.grid import past_of
from crewplan.weather.past_days import PastDay, in_season, past_days
from crewplan.weather.site_hours import SiteHours

LEAST_DAYS = 10
"""With fewer past days nothing is known. Assumed."""
_SEED = 17


@dataclass(frozen=True, slots=True, eq=False)
class Season:
    """What past days say of the hours beyond a place's forecast."""

    hours: NDArray[np.bool_]
    """[H]: beyond the forecast, and enough past days are known."""
    good: NDArray[np.bool_]
    """[3, R, H], by exposure; the sun of the hour itself comes in `fill`."""
    notes: tuple[str, ...]

    def fill(self, told: SiteHours, exposure: int, light: NDArray[np.bool_] | None) -> SiteHours:
        """The site's hours with those beyond the forecast filled; `light` None: not asked for."""
        good = self.good[exposure] if light is None else self.good[exposure] & light
        return SiteHours(
            np.where(self.hours, good, told.good),
            np.where(self.hours, good, told.hopeful),
            self.hours | told.known,
        )


def _picks(
    usable: dict[date, list[date]], rows: int, rng: np.random.Generator
) -> dict[date, list[date]]:
    """A past day for each row, by day: that after the row's first pick where it is usable."""
    picks: dict[date, list[date]] = {}
    lead: tuple[date, list[date]] | None = None
    for day, days in usable.items():
        order = rng.permutation(len(days))
        own = [days[order[row % len(days)]] for row in range(rows)]
        lead = lead or (day, own)
        wanted = [first + (day - lead[0]) for first in lead[1]]
        held = set(days)
        picks[day] = [one if one in held else other for one, other in zip(wanted, own, strict=True)]
    return picks


def season(
    branch: Branch, told: Forecast, place: PlaceForecast, hour_starts: Sequence[datetime]
) -> Season | None:
    """Fills what lies beyond a place's last interval; None where nothing does.

    The same folder and hours give the same picks.
    """
    beyond = told.asked.starts_s >= place.grid.last_s
    if not len(place.grid.start_s) or not beyond.any():
        return None
    local = [start.astimezone(zone(branch.settings)) for start in hour_starts]
    by_day: dict[date, list[int]] = {}
    for at in np.flatnonzero(beyond):
        by_day.setdefault(local[at].date(), []).append(int(at))
    clock = sorted({local[at].time() for at in np.flatnonzero(beyond)})
    column = {hour: at for at, hour in enumerate(clock)}
    past = past_of(branch, place.grid)
    days: dict[date, PastDay] = {}
    if past is not None:
        days = past_days(
            past, told.limits, zone(branch.settings), tuple(by_day), clock, place.wind_factor
        )
    usable: dict[date, list[date]] = {}
    dates, wanted = list(days), sorted(by_day)
    near = in_season(dates, wanted)
    known = np.array([held.known for held in days.values()], np.bool_).reshape(-1, len(clock))
    for row, day in enumerate(wanted):
        needed = [column[local[at].time()] for at in by_day[day]]
        there = near[:, row] & known[:, needed].all(axis=1)
        usable[day] = [dates[at] for at in np.flatnonzero(there)]
    enough = {day: found for day, found in usable.items() if len(found) >= LEAST_DAYS}

    judged = place.judged[EXPOSURES[0]]
    rows = len(judged.hopeful)
    good = np.zeros((len(EXPOSURES), rows, len(local)), dtype=np.bool_)
    filled = np.zeros(len(local), dtype=np.bool_)
    picked = _picks(enough, rows - judged.spare, np.random.default_rng(_SEED))
    for day, ones in picked.items():
        needed = [column[local[at].time()] for at in by_day[day]]
        filled[by_day[day]] = True
        for row, one in enumerate(ones):
            good[:, row, by_day[day]] = days[one].good[:, needed]
    return Season(filled, good, tuple(_notes(place.grid.place, usable, enough)))


def _notes(place: str, usable: dict[date, list[date]], enough: dict[date, list[date]]) -> list[str]:
    where = f"at {place}" if place else "at the branch"
    notes = []
    if enough:
        fewest = min(len(days) for days in enough.values())
        notes.append(
            f"beyond the forecast {where} from {min(enough)} on: past weather of the season "
            f"stands in ({fewest} days or more), for planning only"
        )
    thin = [day for day in usable if day not in enough]
    if thin:
        notes.append(
            f"beyond the forecast {where} from {min(thin)} on: fewer than {LEAST_DAYS} past days "
            f"of the season are known for {len(thin)} of the days, so none of their hours is open"
        )
    return notes
