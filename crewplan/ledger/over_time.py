"""Lost hours by cause, week by week or month by month."""

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.entries import CAUSES, Ints
from crewplan.ledger.lines import hours_of_groups
from crewplan.ledger.views import week_name
from crewplan.model.closed import month_of
from crewplan.model.ledger import HoursLine, Span
from crewplan.model.owner import PeriodLoss

MOST_WEEKS = 26
"""With more of them, months are told. Assumed: as many bars as a screen shows."""
Step = Literal["week", "month"]


def lost_over_time(book: Book, span: Span) -> tuple[Step, tuple[PeriodLoss, ...]]:
    """Every week or month from the first to the last with hours, also those without lost ones."""
    entries = book.entries.within(span)
    if len(entries.day) == 0:
        return "week", ()
    first, last = int(entries.day.min()), int(entries.day.max())
    step: Step = "week" if last - first < 7 * MOST_WEEKS else "month"
    starts = _starts(first, last, step)
    which = np.searchsorted(starts, entries.day, side="right") - 1
    lines = hours_of_groups(book, entries, which)
    return step, tuple(
        _period(_name(start, step), lines.get(at)) for at, start in enumerate(starts.tolist())
    )


def weeks_of(lines: Iterable[HoursLine]) -> tuple[PeriodLoss, ...]:
    """The same of lines that are weeks: every week from the first to the last with hours."""
    found = {line.name: line for line in lines if line.worked_h}
    if not found:
        return ()
    first, last = (date.fromisoformat(f"{name}-1").toordinal() for name in (min(found), max(found)))
    names = (week_name(monday) for monday in range(first, last + 1, 7))
    return tuple(_period(name, found.get(name)) for name in names)


def _period(name: str, line: HoursLine | None) -> PeriodLoss:
    if line is None:
        return PeriodLoss(name, {}, {}, Decimal(0))
    lost = {part.cause: part for part in line.lost}
    return PeriodLoss(
        name,
        {cause: lost[cause].hours for cause in CAUSES if cause in lost},
        {cause: lost[cause].cost for cause in CAUSES if cause in lost},
        line.worked_h,
    )


def _starts(first: int, last: int, step: Step) -> Ints:
    if step == "week":
        return np.arange(first - (first - 1) % 7, last + 1, 7, dtype=np.int64)
    month = date.fromordinal(first).replace(day=1)
    starts = []
    while month.toordinal() <= last:
        starts.append(month.toordinal())
        month = (month + timedelta(days=31)).replace(day=1)
    return np.array(starts, dtype=np.int64)


def _name(start: int, step: Step) -> str:
    return week_name(start) if step == "week" else month_of(date.fromordinal(start))
