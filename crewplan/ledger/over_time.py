"""Lost hours by cause, week by week or month by month."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.entries import CAUSES, Ints
from crewplan.ledger.lines import hours_of_groups
from crewplan.model.ledger import Span
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
    found = []
    for at, start in enumerate(starts.tolist()):
        lost = {part.cause: part for part in lines[at].lost} if at in lines else {}
        found.append(
            PeriodLoss(
                _name(date.fromordinal(start), step),
                {cause: lost[cause].hours for cause in CAUSES if cause in lost},
                {cause: lost[cause].cost for cause in CAUSES if cause in lost},
                lines[at].worked_h if at in lines else Decimal(0),
            )
        )
    return step, tuple(found)


def _starts(first: int, last: int, step: Step) -> Ints:
    if step == "week":
        return np.arange(first - (first - 1) % 7, last + 1, 7, dtype=np.int64)
    month = date.fromordinal(first).replace(day=1)
    starts = []
    while month.toordinal() <= last:
        starts.append(month.toordinal())
        month = (month + timedelta(days=31)).replace(day=1)
    return np.array(starts, dtype=np.int64)


def _name(start: date, step: Step) -> str:
    if step == "month":
        return f"{start:%Y-%m}"
    year, week, _ = start.isocalendar()
    return f"{year}-W{week:02d}"
