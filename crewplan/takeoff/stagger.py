"""Neighbouring rails' inner attachments on different rafters, so that the load is spread.

The outermost attachments of a rail are free of the rule: the cantilever mostly leaves them one
rafter only. A rafter inside then carries every second rail.
"""

from collections.abc import Iterator, Sequence
from itertools import islice
from typing import NamedTuple

from crewplan.takeoff.seats import Rafters, Seats, end_pairs, excess_mm, fewest_seats

Level = tuple[tuple[float, float], ...]
"""Rails one beside the other: (left end, length), mm from the array's left edge."""
_MOST = 400
"""Arrangements of one rail that are compared; a row of ten modules has at most some hundreds."""


_LONGEST = 30
"""Attachments of a rail beyond which only every m-th rafter is tried: some 20 m, and far longer
than any house's."""


class _Choice(NamedTuple):
    """What the rails of a level sit on."""

    rails: tuple[tuple[int, ...], ...]
    """Rafters by rail."""
    inner: int
    """The inner ones of all rails, a bit a rafter."""
    seats: int
    reach_mm: float


def seat_staggered(
    levels: Sequence[Level], rafters: Rafters, spaces_per_span: int, cantilever_mm: float
) -> tuple[tuple[tuple[Seats, ...], ...], int]:
    """Seats by level from the eave up, and how many rafters neighbouring rails share inside.

    Fewest shared first, then fewest attachments, then the ends that reach least: the best chain of
    choices from level to level. First every m-th rafter is tried for each rail (m spaces are a
    span); only where that takes more than each rail alone, all of the rails' shortest arrangements.

    Args:
        levels: each a level of rails, all of which have two rafters below.
        rafters: as seen from the array's left edge.
    """
    least = sum(
        min(fewest_seats(b - a, spaces_per_span) for a, b in pairs)
        for level in levels
        for pairs in (_pairs(rail, rafters, cantilever_mm) for rail in level)
    )
    for wide in (False, True):
        by_level = {
            level: _choices(level, rafters, spaces_per_span, cantilever_mm, wide)
            for level in dict.fromkeys(levels)
        }
        choices = [by_level[level] for level in levels]
        shared, chain = _best_chain(choices)
        most = max((len(on) for choice in chain for on in choice.rails), default=0)
        if (shared == 0 and sum(choice.seats for choice in chain) == least) or most > _LONGEST:
            break
    seats = tuple(
        tuple(
            Seats(
                tuple(rafters.place(index) - left for index in on),
                excess_mm(on[0], on[-1], length, rafters.seen_from(left), cantilever_mm),
            )
            for (left, length), on in zip(level, choice.rails, strict=True)
        )
        for level, choice in zip(levels, chain, strict=True)
    )
    return seats, shared


def _best_chain(levels: Sequence[Sequence[_Choice]]) -> tuple[int, list[_Choice]]:
    """One choice a level: least shared inside by neighbours, then count, then reach."""
    costs: list[tuple[int, int, float]] = []
    ways: list[list[int]] = []
    before: Sequence[_Choice] = ()
    for level in levels:
        found, way = [], []
        for choice in level:
            if not before:
                cost, back = (0, 0, 0.0), -1
            else:
                cost, back = min(
                    ((shared + (choice.inner & was.inner).bit_count(), count, reach), place)
                    for place, (was, (shared, count, reach)) in enumerate(
                        zip(before, costs, strict=True)
                    )
                )
            found.append((cost[0], cost[1] + choice.seats, cost[2] + choice.reach_mm))
            way.append(back)
        costs, before = found, level
        ways.append(way)
    if not costs:
        return 0, []
    best = min(range(len(costs)), key=costs.__getitem__)
    shared, at, chain = costs[best][0], best, []
    for level, way in zip(reversed(levels), reversed(ways), strict=True):
        chain.append(level[at])
        at = way[at]
    return shared, chain[::-1]


def _choices(
    level: Level, rafters: Rafters, spaces: int, cantilever_mm: float, wide: bool
) -> list[_Choice]:
    if not level:
        return [_Choice((), 0, 0, 0.0)]
    found: dict[tuple[tuple[int, ...], ...], _Choice] = {}
    for residue in range(spaces):
        rails = tuple(_every(rail, rafters, spaces, cantilever_mm, residue) for rail in level)
        found[rails] = _choice(level, rails, rafters)
    if wide and len(level) == 1:
        for residue in range(spaces):
            for a, b in _pairs(level[0], rafters, cantilever_mm):
                rails = (_on_residue(a, b, spaces, residue),)
                found[rails] = _choice(level, rails, rafters)
        for on in islice(_shortest(level[0], rafters, spaces, cantilever_mm), _MOST):
            found[(on,)] = _choice(level, (on,), rafters)
    return list(found.values())


def _choice(level: Level, rails: tuple[tuple[int, ...], ...], rafters: Rafters) -> _Choice:
    inner = 0
    for on in rails:
        for index in on[1:-1]:
            inner |= 1 << index
    reach = sum(
        max(rafters.place(on[0]) - left, left + length - rafters.place(on[-1]))
        for (left, length), on in zip(level, rails, strict=True)
    )
    return _Choice(rails, inner, sum(map(len, rails)), reach)


def _pairs(
    rail: tuple[float, float], rafters: Rafters, cantilever_mm: float
) -> list[tuple[int, int]]:
    left, length = rail
    return end_pairs(length, rafters.seen_from(left), cantilever_mm)


def _on_residue(first: int, last: int, spaces: int, residue: int) -> tuple[int, ...]:
    """Both ends, and between them every rafter that leaves this residue: no span is over m."""
    inner = (index for index in range(first + 1, last) if index % spaces == residue)
    return (first, *inner, last)


def _every(
    rail: tuple[float, float], rafters: Rafters, spaces: int, cantilever_mm: float, residue: int
) -> tuple[int, ...]:
    """The ends that need fewest attachments with these inner rafters, and of these reach least."""
    left, length = rail

    def rank(pair: tuple[int, int]) -> tuple[int, float]:
        reach = max(rafters.place(pair[0]) - left, left + length - rafters.place(pair[1]))
        return len(_on_residue(*pair, spaces, residue)), reach

    return _on_residue(*min(_pairs(rail, rafters, cantilever_mm), key=rank), spaces, residue)


def _shortest(
    rail: tuple[float, float], rafters: Rafters, spaces: int, cantilever_mm: float
) -> Iterator[tuple[int, ...]]:
    """All arrangements of one rail with the fewest attachments."""
    pairs = _pairs(rail, rafters, cantilever_mm)
    fewest = min(fewest_seats(b - a, spaces) for a, b in pairs)
    for first, last in pairs:
        if fewest_seats(last - first, spaces) == fewest:
            yield from _between(first, last, fewest, spaces)


def _between(first: int, last: int, count: int, spaces: int) -> Iterator[tuple[int, ...]]:
    """Ways from first to last with `count` seats and no span over `spaces`."""
    if count == 2:
        if last - first <= spaces:
            yield first, last
        return
    spans = count - 2
    low = max(first + 1, last - spans * spaces)
    for second in range(low, min(first + spaces, last - spans) + 1):
        for rest in _between(second, last, count - 1, spaces):
            yield first, *rest
