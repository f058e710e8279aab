"""Who gets what from the store, and what is then missing on which day."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.readiness import Supply

Floats = NDArray[np.float64]
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True)
class Claim:
    """What a stage takes from the store."""

    stage: str
    kit: Mapping[str, float]
    """Stocked units by item."""
    starts_on: date | None
    """Its published day; None: it may start on any day, so its kit is kept from the first on."""


@dataclass(frozen=True, slots=True, eq=False)
class Missing:
    """What one stage would lack of one item if it started on each of D days, in stocked units."""

    stage: str
    item: str
    needed: float
    by_day: Floats
    """[D] with arrivals counted from the day on which they are expected; never rises."""
    in_stock: Floats
    """[D] with what is on hand alone: on a frozen day an arrival is not in hand."""

    def covered_on(self, days: tuple[date, ...]) -> date | None:
        """The first of the D days on which nothing is missing; None: never with what is ordered."""
        there = np.flatnonzero(self.by_day <= 0)
        return days[int(there[0])] if there.size else None


@dataclass(frozen=True, slots=True)
class Shortage:
    """What a stage lacks of one item on the day on which it is wanted."""

    stage: str
    item: str
    needed: float
    """Stocked units of its whole kit."""
    missing: float
    """Stocked units."""
    wanted_on: date
    covered_on: date | None
    """First day on which what is on order covers it; None: nothing on order does."""
    to_order: float
    """Stocked units that neither stock nor anything on order ever covers."""


def _arriving(supply: Supply, item: str, days: Floats) -> Floats:
    there = np.zeros_like(days)
    for day, quantity in supply.arrivals.get(item, ()):
        there[days >= day.toordinal()] += quantity
    return there


def missing_items(
    line: Sequence[Claim], supply: Supply, days: tuple[date, ...]
) -> dict[str, tuple[Missing, ...]]:
    """By stage: each item of its kit, those ahead in the line served first.

    A stage may only take what is left over on its day and on all later ones once those ahead have
    had theirs on their own days; so an arrival that comes before they start helps those behind.

    Args:
        line: claims, the first served first.
        supply: where it is not judged, nothing is missing.
        days: ascending.
    """
    if not supply.judged:
        return {}
    ordinals = np.array([day.toordinal() for day in days], dtype=np.float64)
    in_stock: dict[str, Floats] = {}
    coming: dict[str, Floats] = {}
    found: dict[str, tuple[Missing, ...]] = {}
    for claim in line:
        first = (
            0
            if claim.starts_on is None
            else int(np.searchsorted(ordinals, claim.starts_on.toordinal()))
        )
        mine: list[Missing] = []
        for item, needed in claim.kit.items():
            if item not in in_stock:
                in_stock[item] = np.full(len(days), supply.on_hand.get(item, 0.0))
                coming[item] = in_stock[item] + _arriving(supply, item, ordinals)
            left = np.minimum.accumulate(coming[item][::-1])[::-1]
            on_hand = np.minimum(left, in_stock[item])
            mine.append(Missing(claim.stage, item, needed, _lack(needed, left),
                                _lack(needed, on_hand)))  # fmt: skip
            in_stock[item][first:] -= needed
            coming[item][first:] -= needed
        found[claim.stage] = tuple(mine)
    return found


def _lack(needed: float, left: Floats) -> Floats:
    """Never more than is needed: what those ahead lack is theirs to miss."""
    lack = needed - np.maximum(left, 0.0)
    return np.where(lack > _ROUNDING, lack, 0.0)


def shortages(
    missing: Sequence[Missing], days: tuple[date, ...], wanted_on: date
) -> tuple[Shortage, ...]:
    """The items of one stage that are not there on the day (one of `days`) it is wanted."""
    at = days.index(wanted_on)
    return tuple(
        Shortage(
            item.stage,
            item.item,
            item.needed,
            float(item.by_day[at]),
            wanted_on,
            item.covered_on(days),
            float(item.by_day[-1]),
        )
        for item in missing
        if item.by_day[at] > 0
    )
