"""Exhaustive search for the fewest stock lengths: every cut on a grid, every packing."""

from itertools import combinations_with_replacement, product
from math import comb

import numpy as np

from crewplan.takeoff.cutting import RailToCut
from crewplan.takeoff.splices import Spans, splice_places

GRID_MM = 60
_MOST_CASES = 60_000
Kind = tuple[int, Spans, int]
"""Length, where splices may lie, how many such rails."""


def ways_on_grid(length: int, stock: int, places: Spans, least: int) -> list[tuple[int, ...]]:
    """All ways with the fewest pieces, cuts on the grid only."""
    if length <= stock:
        return [(length,)]
    allowed = [
        at
        for at in range(GRID_MM, length, GRID_MM)
        if any(low - 1e-6 <= at <= high + 1e-6 for low, high in places)
    ]
    for cuts in range(1, 5):
        found = list(_with_cuts(0, cuts, allowed, length, stock, max(least, 1)))
        if found:
            return found
    return []


def _with_cuts(start, cuts, allowed, length, stock, least):
    if cuts == 0:
        if least <= length - start <= stock:
            yield (length - start,)
        return
    for at in allowed:
        if least <= at - start <= stock:
            for rest in _with_cuts(at, cuts - 1, allowed, length, stock, least):
                yield (at - start, *rest)


def fewest_bins(pieces: list[int], stock: int, known: int) -> int:
    """Branch and bound over every packing; `known` where none takes fewer."""
    ordered = sorted(pieces, reverse=True)
    best = known

    def put(number: int, rooms: list[int]) -> None:
        nonlocal best
        if len(rooms) >= best:
            return
        if number == len(ordered):
            best = len(rooms)
            return
        for at in {room: at for at, room in enumerate(rooms) if room >= ordered[number]}.values():
            rooms[at] -= ordered[number]
            put(number + 1, rooms)
            rooms[at] += ordered[number]
        put(number + 1, [*rooms, stock - ordered[number]])

    put(0, [])
    return best


def fewest_by_trying(kinds: list[Kind], stock: int, least_piece: int, bound: int) -> int | None:
    """Fewest stock lengths of all ways of all rails; stops at a proven bound. None: too many."""
    ways = [ways_on_grid(length, stock, places, least_piece) for length, places, _ in kinds]
    sets = [list({tuple(sorted(way)) for way in each}) for each in ways]
    cases = 1
    for each, (_, _, count) in zip(sets, kinds, strict=True):
        cases *= comb(len(each) + count - 1, count) if each else 0
    if not 0 < cases <= _MOST_CASES:
        return None
    best = 99
    tries = (
        combinations_with_replacement(each, count)
        for each, (_, _, count) in zip(sets, kinds, strict=True)
    )
    for chosen in product(*tries):
        pieces = [piece for group in chosen for way in group for piece in way]
        best = min(best, fewest_bins(pieces, stock, best))
        if best <= bound:
            break
    return best


def random_rails(rng: np.random.Generator) -> tuple[list[Kind], int, int]:
    """One to three kinds of rail on rafters whose thirds lie on the grid: kinds, stock and least
    piece, mm."""
    stock = int(rng.choice([2400, 3000, 4200]))
    kinds: list[Kind] = []
    for _ in range(int(rng.integers(1, 4))):
        pitch = int(rng.choice([540, 900, 1260, 1800]))
        length = GRID_MM * int(rng.integers(12, 2 * stock // GRID_MM))
        first = GRID_MM * int(rng.integers(0, pitch // GRID_MM // 2))
        seats = [float(at) for at in range(first, length + 1, pitch)]
        if len(seats) >= 2:
            kinds.append((length, splice_places(length, seats), int(rng.integers(1, 4))))
    return kinds, stock, int(rng.choice([0, 0, 300]))


def as_rails(kinds: list[Kind]) -> list[RailToCut]:
    """As the cutting takes them."""
    return [RailToCut(float(n), places) for n, places, count in kinds for _ in range(count)]
