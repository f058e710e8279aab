"""How an authority counts days: every day of the calendar, or its own working days."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import public_holidays
from crewplan.model.settings import Holidays

Whole = NDArray[np.int64]
_EPOCH = date(1970, 1, 1).toordinal()
_MOST_YEARS_AHEAD = 5
"""Holidays are looked up so many years past the last day of the record."""


def _as_days(ordinals: Whole | int) -> NDArray[np.datetime64]:
    return (np.asarray(ordinals, dtype=np.int64) - _EPOCH).astype("datetime64[D]")


@dataclass(frozen=True, slots=True, eq=False)
class DayClock:
    """Days between two days; `working` None: every day of the calendar counts.

    The day of the request does not count and that of the answer does: asked on Friday and granted
    on Monday took 3 calendar days, and 1 working day.
    """

    working: np.busdaycalendar | None = None

    def between(self, first: Whole | int, last: Whole | int) -> Whole:
        """Days counted after `first` up to and with `last`, both ordinals of dates; any shape."""
        if self.working is None:
            return np.asarray(last, dtype=np.int64) - np.asarray(first, dtype=np.int64)
        begin, end = _as_days(np.asarray(first) + 1), _as_days(np.asarray(last) + 1)
        return np.asarray(np.busday_count(begin, end, busdaycal=self.working), dtype=np.int64)

    def latest_before(self, wanted_on: date, count: int) -> date:
        """The latest day from which `count` days are counted by `wanted_on`."""
        return self._moved(wanted_on, -count)

    def reached(self, first: date, count: int) -> date:
        """The first day by which `count` days are counted after `first`."""
        return self._moved(first, count)

    def _moved(self, day: date, count: int) -> date:
        if self.working is None:
            return date.fromordinal(day.toordinal() + count)
        if count == 0:
            return day
        moved = np.busday_offset(
            _as_days(day.toordinal()), count, roll="backward", busdaycal=self.working
        )
        return date.fromordinal(int(moved.astype(np.int64)) + _EPOCH)


CALENDAR = DayClock()


def working_clock(off: Holidays | None, years: Iterable[int]) -> DayClock:
    """Monday to Friday but for public holidays, as offices work; `off` None: no holidays known."""
    days = (
        [] if off is None
        else [day for year in years for day in public_holidays(off.country, off.subdivision, year)]
    )  # fmt: skip
    return DayClock(np.busdaycalendar(holidays=sorted(days)))


def clocks_of(branch: Branch, today: date) -> Mapping[str, DayClock]:
    """By authority, utility or supplier that counts working days; all others count every day."""
    first = min((row.asked_on.year for row in branch.lead_times), default=today.year)
    first = min(first, today.year, *(r.asked_on.year for r in branch.requirements if r.asked_on))
    years = range(first, today.year + _MOST_YEARS_AHEAD + 1)
    own = branch.settings.holidays
    return {
        row.authority: working_clock(
            Holidays(row.holidays_country, row.holidays_subdivision)
            if row.holidays_country
            else own,
            years,
        )
        for row in branch.authorities
        if row.counts_days == "working"
    }
