"""Hours worked, lost and earned, and what they cost, grouped one way or another."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within
from crewplan.ledger.entries import CAUSES, Entries, Ints, add_up, hours_of
from crewplan.ledger.views import VIEWS
from crewplan.model.ledger import By, HoursLine, LostHours, Span


@dataclass(slots=True)
class _Sums:
    """Millionths of an hour and of money, by cause."""

    micro_h: dict[int, int] = field(default_factory=dict)
    micro_cost: dict[int, Decimal] = field(default_factory=dict)
    unpriced: int = 0

    def add(self, cause: int, micro_h: int, cost_per_h: Decimal | None) -> None:
        self.micro_h[cause] = self.micro_h.get(cause, 0) + micro_h
        if cost_per_h is None:
            self.unpriced += micro_h
        else:
            cost = self.micro_cost.get(cause, Decimal(0))
            self.micro_cost[cause] = cost + micro_h * cost_per_h

    def cost(self, cause: int) -> Decimal:
        return self.micro_cost.get(cause, Decimal(0)).scaleb(-6)

    def line(self, name: str, earned: int) -> HoursLine:
        return HoursLine(
            name,
            hours_of(self.micro_h.get(0, 0)),
            self.cost(0),
            tuple(
                LostHours(CAUSES[cause], hours_of(self.micro_h[cause]), self.cost(cause))
                for cause in sorted(self.micro_h)
                if cause
            ),
            hours_of(earned),
            hours_of(self.unpriced),
        )


def _sums(book: Book, entries: Entries, groups: Ints) -> Mapping[int, _Sums]:
    people, causes = max(len(book.people), 1), len(CAUSES)
    keys = (groups * causes + entries.cause) * people + entries.person
    found: dict[int, _Sums] = {}
    for key, micro_h in add_up(keys, entries.micro_h).items():
        rest, person = divmod(key, people)
        group, cause = divmod(rest, causes)
        found.setdefault(group, _Sums()).add(cause, micro_h, book.costs[person])
    return found


def hours_by(book: Book, by: By, span: Span) -> tuple[HoursLine, ...]:
    """One line for each group of a grouping that has hours or earned hours.

    In the tables' order; weeks by time. The lines of every grouping add up to `hours_in_all`.
    """
    view = VIEWS[by]
    entries = book.entries.within(span)
    to_date = book.entries.within(Span(None, span.last))
    sums = _sums(book, entries, view.of_hours(book, entries))
    earned = view.of_gains(book, entries, to_date, gains_within(book.gains, span))
    groups = sorted({*sums, *(group for group, micro_h in earned.items() if micro_h)})
    name = view.names(book)
    return tuple(
        sums.get(group, _Sums()).line(name(group), earned.get(group, 0)) for group in groups
    )


def hours_of_groups(book: Book, entries: Entries, groups: Ints) -> dict[int, HoursLine]:
    """Entries by whatever number each of them has, without names and without earned hours."""
    return {group: one.line("", 0) for group, one in _sums(book, entries, groups).items()}


def hours_in_all(book: Book, span: Span) -> HoursLine:
    """All hours of the span in one line, without a name."""
    entries = book.entries.within(span)
    sums = _sums(book, entries, np.zeros_like(entries.day)).get(0, _Sums())
    return sums.line("", sum(gain.micro_h for gain in gains_within(book.gains, span)))
