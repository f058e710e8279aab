"""Exact sums of hours and of what they cost, at once for a whole record."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.entries import Entries, Ints

_MOST = 2**63


@dataclass(frozen=True, slots=True)
class Added:
    """Sums by cell, in whole numbers."""

    worked: list[int]
    """Millionths of an hour."""
    priced: list[int]
    """Of these, of people whose cost is known."""
    money: list[int]
    unit: int
    """What `money` counts, in millionths of a millionth of the currency."""

    def cost(self, cell: int) -> Decimal:
        """Loaded cost of one cell."""
        return Decimal(self.money[cell] * self.unit).scaleb(-12)

    def cost_of(self, cells: Iterable[int]) -> Decimal:
        """Of some cells together."""
        return Decimal(sum(map(self.money.__getitem__, cells)) * self.unit).scaleb(-12)


def added_up(book: Book, entries: Entries, cells: Ints, size: int) -> Added:
    """Sums of entries by the cell that each of them is in, of `size` cells from 0 on.

    Prices and hours are counted in their largest common parts, cents and twentieths of an hour
    mostly, so that five years of a branch fit into machine numbers; where they might not, Python's
    own are added, which have no end.
    """
    worked = np.zeros(size, dtype=np.int64)
    np.add.at(worked, cells, entries.micro_h)
    known = np.array([cost is not None for cost in book.costs], dtype=np.bool_)[entries.person]
    priced_h = np.where(known, entries.micro_h, 0)
    priced = np.zeros(size, dtype=np.int64)
    np.add.at(priced, cells, priced_h)
    prices = [0 if cost is None else int(cost.scaleb(6)) for cost in book.costs]
    price_unit = int(np.gcd.reduce(np.array(prices, dtype=np.int64), initial=0)) or 1
    hour_unit = int(np.gcd.reduce(priced_h, initial=0)) or 1
    hours, of_person = priced_h // hour_unit, [price // price_unit for price in prices]
    kind: Any = np.int64 if int(hours.sum()) * max(of_person, default=0) < _MOST else np.object_
    money = np.zeros(size, dtype=kind)
    np.add.at(money, cells, hours.astype(kind) * np.array(of_person, dtype=kind)[entries.person])
    return Added(worked.tolist(), priced.tolist(), money.tolist(), price_unit * hour_unit)
