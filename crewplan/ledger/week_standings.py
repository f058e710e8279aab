"""How the branch stood at the end of each week."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date
from decimal import Decimal

import numpy as np

from crewplan.ledger.adding import added_up
from crewplan.ledger.book import Book
from crewplan.ledger.entries import hours_of
from crewplan.ledger.labour_cost import Spent, table_hour_cost
from crewplan.ledger.promised import half_days
from crewplan.ledger.standing import stand
from crewplan.ledger.views import monday_of, week_name
from crewplan.model.ledger import Span, Standing


class _Steps:
    """What a week adds to the figures of the week before it, by the week's Monday."""

    def __init__(self, book: Book, day: date) -> None:
        """Everything after `day` is left out."""
        self.promised: dict[int, float] = defaultdict(float)
        self.earned: dict[int, int] = defaultdict(int)
        self.promised_earned: dict[int, int] = defaultdict(int)
        last = day.toordinal()
        counts_from = self._promise(book, last)
        for gain in book.gains:
            if gain.day <= last:
                self.earned[monday_of(gain.day)] += gain.micro_h
                if (begun := counts_from.get(gain.stage)) is not None:
                    self.promised_earned[monday_of(max(gain.day, begun))] += gain.micro_h

    def _promise(self, book: Book, last: int) -> dict[int, int]:
        """Adds planned value; from which day on each stage has some."""
        halves, jobs = half_days(book), book.branch.jobs
        counts_from: dict[int, int] = {}
        for place, job in enumerate(book.job_of):
            days = [one.toordinal() for one in halves.get(place, [])]
            due = jobs[job].due_on.toordinal()
            budget = book.planned_micro_h(place)
            before = [one for one in days if one < due]
            steps = [(one, budget / len(days)) for one in before]
            steps.append((due, budget * (len(days) - len(before)) / len(days) if days else budget))
            begun = min(one for one, _ in steps)
            if begun <= last:
                counts_from[place] = begun
            for one, part in steps:
                if one <= last:
                    self.promised[monday_of(one)] += part
        return counts_from


def week_standings(book: Book, day: date, only: Collection[str]) -> dict[str, Standing]:
    """Of the whole branch, up to the end of each week, and of the last week up to the day.

    Args:
        book: the record.
        day: everything after it is left out.
        only: weeks that are asked for, such as 2026-W19.
    """
    entries = book.entries.within(Span(None, day))
    weeks, which = np.unique(monday_of(entries.day), return_inverse=True)
    added = added_up(book, entries, which, len(weeks))
    place = {monday: at for at, monday in enumerate(weeks.tolist())}
    steps = _Steps(book, day)
    table_hour = table_hour_cost(book)
    budget_h = float(hours_of(sum(map(book.planned_micro_h, range(len(book.job_of))))))
    promised, earned, promised_earned, worked, priced = 0.0, 0, 0, 0, 0
    cost = Decimal(0)
    found = {}
    mondays = {*place, *steps.promised, *steps.earned, *steps.promised_earned}
    for monday in sorted(mondays):
        promised += steps.promised.get(monday, 0.0)
        earned += steps.earned.get(monday, 0)
        promised_earned += steps.promised_earned.get(monday, 0)
        if (at := place.get(monday)) is not None:
            worked += added.worked[at]
            priced += added.priced[at]
            cost += added.cost(at)
        if (name := week_name(monday)) in only:
            found[name] = stand(
                budget_h,
                promised / 1e6,
                float(hours_of(earned)),
                float(hours_of(promised_earned)),
                float(hours_of(worked)),
                Spent(cost, float(hours_of(priced)), table_hour),
            )
    return found
