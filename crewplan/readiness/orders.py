"""What to order, from whom, and by when."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from crewplan.model.material_rows import Arrival
from crewplan.readiness.ask_by import AskBy, ask_by
from crewplan.readiness.history import History
from crewplan.readiness.needs import KIT
from crewplan.readiness.shortages import Shortage


@dataclass(frozen=True, slots=True)
class Order:
    """One item that neither stock nor anything on order covers."""

    item: str
    quantity: float
    """Stocked units."""
    stages: tuple[str, ...]
    wanted_on: date
    """The first day on which one of the stages wants it."""
    supplier: str
    """Empty: nothing says who sells it."""
    order_by: AskBy


def suppliers(arrivals: Iterable[Arrival]) -> dict[str, tuple[str, ...]]:
    """By item: who has it on order for us, each once."""
    found: dict[str, dict[str, None]] = {}
    for row in arrivals:
        if row.supplier:
            found.setdefault(row.item, {})[row.supplier] = None
    return {item: tuple(names) for item, names in found.items()}


def order_by(
    item: str, sellers: Sequence[str], history: History, wanted_on: date, share: float
) -> tuple[str, AskBy]:
    """The supplier that may be asked latest, and by when.

    The record of the item with the supplier goes before that of kits; 'no record' where neither is.
    """
    best: tuple[str, AskBy] | None = None
    for seller in sellers or ("",):
        waits = history.waits(item, seller) or history.waits(KIT, seller)
        told = ask_by(waits, wanted_on, share)
        if best is None or (told.by or date.min) > (best[1].by or date.min):
            best = seller, told
    assert best is not None
    return best


def orders(
    short: Iterable[Shortage],
    sellers: Mapping[str, tuple[str, ...]],
    history: History,
    share: float,
) -> tuple[Order, ...]:
    """One order an item, for all stages together, those to place first first."""
    by_item: dict[str, list[Shortage]] = {}
    for row in short:
        if row.to_order > 0:
            by_item.setdefault(row.item, []).append(row)
    found: list[Order] = []
    for item, rows in by_item.items():
        wanted_on = min(row.wanted_on for row in rows)
        supplier, by = order_by(item, sellers.get(item, ()), history, wanted_on, share)
        quantity = sum(row.to_order for row in rows)
        stages = tuple(row.stage for row in rows)
        found.append(Order(item, quantity, stages, wanted_on, supplier, by))
    return tuple(sorted(found, key=lambda order: (order.order_by.by or date.min, order.wanted_on)))
