"""Hours worked, lost and earned, and what they cost, grouped one way or another."""

from dataclasses import replace
from decimal import Decimal

import numpy as np

from crewplan.ledger.adding import added_up
from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within
from crewplan.ledger.entries import CAUSES, Entries, Ints, hours_of
from crewplan.ledger.views import VIEWS
from crewplan.model.ledger import By, HoursLine, LostHours, Span

_NO_GROUP = HoursLine("", Decimal(0), Decimal(0), (), Decimal(0), Decimal(0))


def hours_of_groups(book: Book, entries: Entries, groups: Ints) -> dict[int, HoursLine]:
    """Entries by whatever number each of them has, in ascending order, without names and without
    earned hours."""
    found, which = np.unique(groups, return_inverse=True)
    many = len(CAUSES)
    added = added_up(book, entries, which * many + entries.cause, len(found) * many)
    unpriced = np.zeros(len(found), dtype=np.int64)
    if added.priced != added.worked:
        missing = np.array(added.worked) - np.array(added.priced)
        unpriced = missing.reshape(len(found), many).sum(axis=1)
    lines = {}
    for at, group in enumerate(found.tolist()):
        first = at * many
        lines[group] = HoursLine(
            "",
            hours_of(added.worked[first]),
            added.cost(first),
            tuple(
                LostHours(cause, hours_of(added.worked[cell]), added.cost(cell))
                for cell, cause in enumerate(CAUSES[1:], first + 1)
                if added.worked[cell]
            ),
            Decimal(0),
            hours_of(int(unpriced[at])),
        )
    return lines


def hours_by(book: Book, by: By, span: Span) -> tuple[HoursLine, ...]:
    """One line for each group of a grouping that has hours or earned hours.

    In the tables' order; weeks by time. The lines of every grouping add up to `hours_in_all`.
    """
    view = VIEWS[by]
    entries = book.entries.within(span)
    to_date = book.entries.within(Span(None, span.last))
    lines = hours_of_groups(book, entries, view.of_hours(book, entries))
    earned = view.of_gains(book, entries, to_date, gains_within(book.gains, span))
    groups = sorted({*lines, *(group for group, micro_h in earned.items() if micro_h)})
    name = view.names(book)
    return tuple(
        replace(
            lines.get(group, _NO_GROUP),
            name=name(group),
            earned_h=hours_of(earned.get(group, 0)),
        )
        for group in groups
    )


def hours_in_all(book: Book, span: Span) -> HoursLine:
    """All hours of the span in one line, without a name."""
    entries = book.entries.within(span)
    line = hours_of_groups(book, entries, np.zeros_like(entries.day)).get(0, _NO_GROUP)
    earned = sum(gain.micro_h for gain in gains_within(book.gains, span))
    return replace(line, earned_h=hours_of(earned))
