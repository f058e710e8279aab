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
        short_days = int(np.count_nonzero(self.by_day))
        return days[short_days] if short_days < len(days) else None


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


def _coming(supply: Supply, items: Sequence[str], days: Floats) -> Floats:
    """[items, D] on hand and arrived by each day."""
    there = np.zeros((len(items), len(days)))
    for row, item in enumerate(items):
        there[row] = supply.on_hand.get(item, 0.0)
        for day, quantity in supply.arrivals.get(item, ()):
            there[row] += np.where(days >= day.toordinal(), quantity, 0.0)
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
    items = list(dict.fromkeys(item for claim in line for item in claim.kit))
    place = {item: row for row, item in enumerate(items)}
    coming = _coming(supply, items, ordinals)
    on_hand = np.array([supply.on_hand.get(item, 0.0) for item in items], dtype=np.float64)
    in_stock = np.repeat(on_hand[:, None], len(days), axis=1)
    found: dict[str, tuple[Missing, ...]] = {}
    for claim in line:
        rows = [place[item] for item in claim.kit]
        if not rows:
            found[claim.stage] = ()
            continue
        first = (
            0
            if claim.starts_on is None
            else int(np.searchsorted(ordinals, claim.starts_on.toordinal()))
        )
        needed = np.array(list(claim.kit.values()), dtype=np.float64)[:, None]
        left = np.minimum.accumulate(coming[rows][:, ::-1], axis=1)[:, ::-1]
        lack = _lack(needed, left)
        lack_now = _lack(needed, np.minimum(left, in_stock[rows]))
        found[claim.stage] = tuple(
            Missing(claim.stage, item, amount, lack[row], lack_now[row])
            for row, (item, amount) in enumerate(claim.kit.items())
        )
        in_stock[rows, first:] -= needed
        coming[rows, first:] -= needed
    return found


def _lack(needed: Floats, left: Floats) -> Floats:
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
