"""What the store has by day."""

from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.material_rows import Item
from crewplan.model.readiness import Supply
from crewplan.readiness.deliveries import counted_deliveries
from crewplan.takeoff import TAKEOFF_ITEMS, words_used


def supply(branch: Branch, today: date | None = None) -> Supply:
    """What is on hand and on order, and which words of the take-off are not judged.

    Args:
        branch: the tables.
        today: where it is known, suppliers' past deliveries tell from which day an arrival counts;
            else it counts from the day on which it is expected.
    """
    if not is_judged(branch):
        return Supply({}, {}, False, ("material not judged: neither stock nor arrivals",))
    on_hand: dict[str, float] = {}
    for row in branch.stock:
        on_hand[row.item] = on_hand.get(row.item, 0.0) + row.on_hand
    arrivals: dict[str, list[tuple[date, float]]] = {}
    counted = counted_deliveries(branch, today)
    for due in counted:
        if due.counts_from is not None:
            arrivals.setdefault(due.row.item, []).append((due.counts_from, due.row.quantity))
    serving = serving_items(branch)
    used = words_used(frozenset(plane.covering for plane in branch.planes))
    absent = [word for word in used if word not in serving]
    notes = [f"not kept in the store, so not judged: {', '.join(absent)}"] if absent else []
    return Supply(
        on_hand,
        {item: tuple(sorted(rows)) for item, rows in arrivals.items()},
        True,
        (*notes, *(due.note for due in counted if due.note)),
    )


def is_judged(branch: Branch) -> bool:
    """Whether the folder says anything about material."""
    return bool({"stock", "arrivals"} & branch.present)


def serving_items(branch: Branch) -> dict[str, tuple[Item, ...]]:
    """Items by the take-off's word that they serve; a word may stand in stock by itself."""
    serving: dict[str, list[Item]] = {}
    for item in branch.items:
        serving.setdefault(item.takeoff_item or item.item, []).append(item)
    for name in (*(row.item for row in branch.stock), *(row.item for row in branch.arrivals)):
        if name in TAKEOFF_ITEMS and name not in serving:
            serving[name] = [Item(name, name)]
    return {word: tuple(items) for word, items in serving.items()}
