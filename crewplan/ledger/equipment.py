"""What shared equipment costs a stage: days on site at its price a day."""

import math
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

import numpy as np

from crewplan.labour.job_hours import DAY_PERSON_H
from crewplan.ledger.book import Book
from crewplan.ledger.entries import Entries, hours_of

_DAYS = date.max.toordinal() + 1


class SiteDays(NamedTuple):
    """Days on which somebody was on a stage, and the crews that they were of."""

    days: int
    crews: frozenset[int]
    crew_days: frozenset[tuple[int, int]]
    """Crew and day (proleptic ordinal)."""


def site_days(book: Book, entries: Entries) -> dict[int, SiteDays]:
    """By stage, from hours of any cause."""
    crews = np.array(book.crew_of, dtype=np.int64)[entries.person]
    many = book.no_crew + 1
    there: dict[int, set[tuple[int, int]]] = {}
    for key in np.unique((entries.stage * many + crews) * _DAYS + entries.day).tolist():
        rest, day = divmod(key, _DAYS)
        stage, crew = divmod(rest, many)
        there.setdefault(stage, set()).add((crew, day))
    return {
        stage: SiteDays(
            len({day for _, day in found}),
            frozenset(crew for crew, _ in found),
            frozenset(found),
        )
        for stage, found in there.items()
    }


def days_for(micro_h: int) -> int:
    """Whole days for hours still to be worked, three people at eight hours (assumed)."""
    return math.ceil(float(hours_of(max(micro_h, 0))) / DAY_PERSON_H)


class EquipmentPrices:
    """Prices a day of what stages ask for."""

    def __init__(self, book: Book) -> None:
        """Shared equipment by its table; a crew's own costs nothing a day."""
        self._stages = book.branch.stages
        self._shared: Mapping[str, Decimal] = {
            row.equipment: Decimal(str(row.cost_per_day)) for row in book.branch.equipment
        }
        self._own = [frozenset(row.equipment) for row in book.branch.crews]
        at = {row.crew: place for place, row in enumerate(book.branch.crews)}
        self._published = {row.stage: at[row.crew] for row in book.branch.plan}

    def a_day(self, stage: int, crews: frozenset[int]) -> tuple[Decimal, tuple[str, ...]]:
        """Money a day, and what has no price. Without crews the published one counts.

        Equipment that one of the crews owns is taken as brought along.
        """
        row = self._stages[stage]
        if not crews and row.stage in self._published:
            crews = frozenset({self._published[row.stage]})
        own = {word for crew in crews if crew < len(self._own) for word in self._own[crew]}
        asked = [word for word in row.equipment if word not in own]
        cost = sum((self._shared.get(word, Decimal(0)) for word in asked), Decimal(0))
        return cost, tuple(word for word in asked if word not in self._shared)
