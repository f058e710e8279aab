"""A kit is drawn on the first day of its stage, from what is there by then."""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import Choices, ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.grouping import grouped, spread
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


def _kits(held: Columns) -> tuple[NDArray[np.int64], list[Mapping[str, float]]]:
    """Which kit each placement takes, by index, and the kits: many placements share one."""
    kits: list[Mapping[str, float]] = [stage.kit for stage in held.stages.values()]
    which = held.placed.stage.tolist()
    known: dict[int, int] = {}
    for column, kit in enumerate([placement.kit for placement in held.placements]):
        if kit is not None:
            which[column] = known.setdefault(id(kit), len(kits))
            if which[column] == len(kits):
                kits.append(kit)
    return np.array(which, dtype=np.int64), kits


def rows(held: Columns) -> Iterator[Row]:
    """For each item and span of days."""
    choices = held.choices
    if not choices.material_judged:
        return
    which, kits = _kits(held)
    numbers: dict[str, int] = {}
    draws: list[tuple[int, int]] = []
    draws_of: list[range] = []
    for kit in kits:
        begin = len(draws)
        for item, amount in kit.items():
            if amount > 0:
                number = numbers.setdefault(item, len(numbers))
                draws.append((number, need(amount, PER_UNIT)))
        draws_of.append(range(begin, len(draws)))
    if not draws:
        return
    columns, drawn = spread(which, draws_of)
    items, amounts = np.array(draws, dtype=np.int64)[drawn].T
    days = held.places.first[columns] // 2
    names = tuple(numbers)
    for number, found in grouped(items, len(names)):
        for span, most in spans(choices, names[number]):
            counts = np.zeros(len(choices.horizon.days), dtype=np.bool_)
            counts[list(span)] = True
            within = found[counts[days[found]]]
            if len(within) and amounts[within].sum() > most:
                yield Row(columns[within], amounts[within], most, rule=NAME, subject=names[number])


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which items run short, and who draws them."""
    short = (
        f"{item} ({'drawn by ' + ', '.join(stages) if stages else 'not enough in all'})"
        for item, stages in clashes.items()
    )
    return f"not enough by then: {', '.join(short)}"
