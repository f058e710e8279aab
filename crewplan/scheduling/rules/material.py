"""A kit is drawn on the first day of its stage, from what is there by then."""

from collections.abc import Iterator, Mapping

from crewplan.model.placement import Choices, ReasonKind, kit_of
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import capacity_rows
from crewplan.scheduling.selection import Row
from crewplan.scheduling.whole import PER_UNIT, need, supply

NAME = "material"
KIND: ReasonKind = "material"


def spans(choices: Choices, item: str) -> Iterator[tuple[frozenset[int], int]]:
    """Days by index, and thousandths of a unit that starts on them may draw together.

    What is drawn before an arrival comes out of what was there before; on frozen days only what is
    on hand counts.
    """
    days = choices.horizon.days
    on_hand = choices.on_hand.get(item, 0.0)
    frozen = frozenset(i for i, day in enumerate(days) if day in choices.horizon.frozen)
    if frozen:
        yield frozen, supply(on_hand, PER_UNIT)
    arrivals = choices.arrivals.get(item, ())
    for next_on in [*sorted({day for day, _ in arrivals}), None]:
        there = sum(quantity for day, quantity in arrivals if next_on is None or day < next_on)
        before = frozenset(i for i, day in enumerate(days) if next_on is None or day < next_on)
        if before:
            yield before, supply(on_hand + there, PER_UNIT)


def rows(held: Columns) -> Iterator[Row]:
    """For each item and span of days."""
    choices = held.choices
    if not choices.material_judged:
        return
    takers: dict[str, list[tuple[int, int]]] = {}
    for column, placement in enumerate(held.placements):
        for item, amount in kit_of(held.stages[placement.stage], placement).items():
            if amount > 0:
                takers.setdefault(item, []).append((column, need(amount, PER_UNIT)))
    for item, found in takers.items():
        for number, (span, most) in enumerate(spans(choices, item)):
            uses = [
                (number, column, amount)
                for column, amount in found
                if held.placements[column].start // 2 in span
            ]
            yield from capacity_rows(uses, {number: most}, NAME, {number: item})


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which items run short, and who draws them."""
    short = (
        f"{item} ({'drawn by ' + ', '.join(stages) if stages else 'not enough in all'})"
        for item, stages in clashes.items()
    )
    return f"not enough by then: {', '.join(short)}"
