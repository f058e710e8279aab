"""A person is in one crew a day: with the crew that they are lent to, or with their own.

Of each loan (somebody with another crew for a day), in the half-days of that day:
placements with the person need the loan, placements of the person's own crew that count on them
exclude it, those that do without them need it; and there is no loan that no placement needs.
Placements of the other crew without the person stay possible: they ask for nobody more.
"""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import NO_LOWER, Row
from crewplan.scheduling.whole import PER_HOUR, need, supply

NAME = "people lent"
KIND: ReasonKind = "people"

Cell = int
Uses = dict[tuple[str, Cell], tuple[list[int], list[int]]]
"""By person or crew, and half-day: columns, and minutes that each takes of it."""


def _add(uses: Uses, key: tuple[str, Cell], column: int, minutes: int) -> None:
    columns, amounts = uses.setdefault(key, ([], []))
    columns.append(column)
    amounts.append(minutes)


def _row(
    uses: tuple[list[int], list[int]] | None, loans: list[int], factor: int, upper: int, who: str
) -> Row:
    columns, amounts = uses or ([], [])
    return Row(
        np.array([*columns, *loans], dtype=np.int64),
        np.array([*amounts, *(factor for _ in loans)], dtype=np.int64),
        upper,
        NO_LOWER,
        NAME,
        who,
    )


class _Uses:
    """Who is counted on, by whom and when."""

    def __init__(self, held: Columns, crew_of: Mapping[str, str]) -> None:
        self.most = tuple(max(1, supply(hours, PER_HOUR)) for hours in held.choices.half_day_h)
        self.by_crew: Uses = {}
        """Placements of a person's own crew; keyed by the crew."""
        self.without: Uses = {}
        """Placements of a person's own crew that do without them."""
        self.joined: dict[tuple[str, str, Cell], tuple[list[int], list[int]]] = {}
        """Placements that a person has joined; keyed by person, crew and half-day."""
        self.away: dict[str, set[int]] = {}
        """By person: columns that do without them."""
        for column, placement in enumerate(held.placements):
            for cell in placement.cells:
                minutes = self.most[cell % 2]
                if placement.short_h is not None:
                    minutes = max(1, need(placement.short_h, PER_HOUR))
                _add(self.by_crew, (placement.crew, cell), column, minutes)
                for person in placement.lent_away:
                    _add(self.without, (person, cell), column, minutes)
                    self.away.setdefault(person, set()).add(column)
                for person in placement.joined:
                    key = person, placement.crew, cell
                    columns, amounts = self.joined.setdefault(key, ([], []))
                    columns.append(column)
                    amounts.append(minutes)
        self._crew_of = crew_of

    def counting_on(self, person: str, cell: Cell) -> tuple[list[int], list[int]] | None:
        """Placements of the person's own crew that have them along."""
        held = self.by_crew.get((self._crew_of[person], cell))
        away = self.away.get(person)
        if held is None or not away:
            return held
        kept = [(c, n) for c, n in zip(*held, strict=True) if c not in away]
        return [c for c, _ in kept], [n for _, n in kept]


def rows(held: Columns) -> Iterator[Row]:
    """For each person and half-day that somebody could be lent in."""
    if held.choices.lending is None:
        return
    crew_of = held.choices.lending.crew_of
    uses = _Uses(held, crew_of)
    first = len(held.placements)
    of_person: dict[tuple[str, int], list[int]] = {}
    for number, loan in enumerate(held.loans):
        of_person.setdefault((loan.person, loan.day), []).append(first + number)
        used: list[NDArray[np.int64]] = []
        for cell in (2 * loan.day, 2 * loan.day + 1):
            with_them = uses.joined.get((loan.person, loan.crew, cell))
            if with_them is None:
                continue
            who = f"{loan.person} of crew {crew_of[loan.person]}"
            yield _row(with_them, [first + number], -uses.most[cell % 2], 0, who)
            used.append(np.array(with_them[0], dtype=np.int64))
        columns = np.unique(np.concatenate(used))
        yield Row(
            np.append(columns, first + number),
            np.append(-np.ones_like(columns), 1),
            0,
            rule=NAME,
            subject=loan.person,
        )
    for (person, day), loans in of_person.items():
        who = f"{person} of crew {crew_of[person]}"
        if len(loans) > 1:
            yield count_row(loans, 1, rule=NAME, subject=who)
        for cell in (2 * day, 2 * day + 1):
            most = uses.most[cell % 2]
            yield _row(uses.counting_on(person, cell), loans, most, most, who)
    for (person, cell), without in uses.without.items():
        loans = of_person.get((person, cell // 2), [])
        yield _row(without, loans, -uses.most[cell % 2], 0, person)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Who would have to be lent, and what needs them."""
    told = (f"{who} ({', '.join(stages)})" if stages else who for who, stages in clashes.items())
    return f"it would need people lent who are needed elsewhere: {', '.join(told)}"
