"""Rows of the rules once more, slow and obvious: loops over placements and half-days.

Each row is its columns, factors, upper end and subject; both ways of making them are to agree in
these and in their order, since what is told and what a search meets first hangs on it.
"""

from collections import defaultdict
from itertools import pairwise
from math import ceil, floor


def _as_rows(uses, capacity, subject):
    """For each thing, in the order in which they are met, if all that uses it is too much."""
    by_thing = defaultdict(list)
    for thing, column, amount in uses:
        by_thing[thing].append((column, amount))
    for thing, used in by_thing.items():
        if sum(amount for _, amount in used) > capacity(thing):
            columns, factors = zip(*used, strict=True)
            yield list(columns), list(factors), capacity(thing), subject(thing)


def _first(thing):
    return thing[0]


def crew_time(choices, placements):
    minutes = [floor(hours * 60 + 1e-6) for hours in choices.half_day_h]
    uses = [
        (
            (p.crew, cell),
            column,
            minutes[cell % 2] if p.short_h is None else ceil(p.short_h * 60 - 1e-6),
        )
        for column, p in enumerate(placements)
        for cell in p.cells
    ]
    return _as_rows(uses, lambda thing: minutes[thing[1] % 2], _first)


def open_jobs(choices, placements):
    def most(thing):
        left = [stage for stage in choices.stages if stage.left_open_by == thing[0]]
        return max(0, choices.open_jobs_max - len(left))

    uses = [
        ((p.crew, cell), column, 1)
        for column, p in enumerate(placements)
        for before, after in pairwise(p.parts)
        for cell in range(before.cells[-1] + 1, after.cells[0])
    ]
    return _as_rows(uses, most, _first)


def one_drive(choices, placements):
    def those(stage, other, crew, start):
        return [
            column
            for column, p in enumerate(placements)
            if (p.stage, p.with_visit, p.crew, p.cells[0]) == (stage, other, crew, start)
        ]

    seen = []
    for p in placements:
        way = p.stage, p.with_visit, p.crew, p.cells[0]
        if p.with_visit and way not in seen:
            seen.append(way)
            own, theirs = those(*way), those(p.with_visit, p.stage, p.crew, p.cells[0])
            yield [*own, *theirs], [1 for _ in own] + [-1 for _ in theirs], 0, p.with_visit


def equipment(choices, placements):
    stages = {stage.stage: stage for stage in choices.stages}
    uses = [
        ((name, day), column, 1)
        for column, p in enumerate(placements)
        for day in sorted({cell // 2 for cell in p.cells})
        for name in stages[p.stage].shared_equipment.get(p.crew, ())
    ]
    return _as_rows(uses, lambda thing: choices.equipment.get(thing[0], 0), _first)


def inspections(choices, placements):
    stages = {stage.stage: stage for stage in choices.stages}
    limit = choices.inspections_per_day
    uses = [
        ((stages[p.stage].authority, p.cells[0] // 2), column, 1)
        for column, p in enumerate(placements)
        if stages[p.stage].kind == "inspection" and stages[p.stage].authority in limit
    ]
    return _as_rows(uses, lambda thing: limit[thing[0]], _first)


def material(choices, placements):
    """What may be drawn on frozen days, before each arrival, and at any time."""
    if not choices.material_judged:
        return
    stages = {stage.stage: stage for stage in choices.stages}
    draws = [
        (column, p.cells[0] // 2, item, ceil(amount * 1000 - 1e-6))
        for column, p in enumerate(placements)
        for item, amount in (stages[p.stage].kit if p.kit is None else p.kit).items()
        if amount > 0
    ]
    days = choices.horizon.days
    for name in dict.fromkeys(item for _, _, item, _ in draws):
        on_hand, arrivals = choices.on_hand.get(name, 0.0), choices.arrivals.get(name, ())
        spans = [(choices.horizon.frozen, on_hand)] if choices.horizon.frozen else []
        for next_on in sorted({day for day, _ in arrivals}):
            there = sum(quantity for day, quantity in arrivals if day < next_on)
            spans.append(({day for day in days if day < next_on}, on_hand + there))
        spans.append((set(days), on_hand + sum(quantity for _, quantity in arrivals)))
        for span, there in spans:
            uses = [(name, c, n) for c, at, item, n in draws if item == name and days[at] in span]
            most = floor(there * 1000 + 1e-6)
            yield from _as_rows(uses, lambda _, most=most: most, str)


PLAINLY = {
    "crew's time": crew_time,
    "open jobs": open_jobs,
    "one drive": one_drive,
    "equipment": equipment,
    "inspections": inspections,
    "material": material,
}
"""By the name of the rule."""
