"""Brute force for the layout of attachments: every set of rafters, every shift on a grid."""

from itertools import combinations, pairwise

import numpy as np

from crewplan.takeoff.array import KnownRafters, Stretch

GRID_MM = 1
Best = tuple[int, int, int, int]
"""Rails without seats, rails over the cantilever, shared inner rafters, penetrations."""


def sets_of_rail(
    left: float, length: float, rafters: list[float], span: float, cantilever: float
) -> list[tuple[int, frozenset[int], int]]:
    """(over the cantilever, inner rafters, count) of every set of rafters that keeps the span.

    An end that cannot keep the cantilever reaches out as far as it can, or it would be refused by
    more.
    """
    under = [n for n, at in enumerate(rafters) if left <= at <= left + length]
    found = []
    for count in range(2, len(under) + 1):
        for on in combinations(under, count):
            if any(rafters[b] - rafters[a] > span + 1e-6 for a, b in pairwise(on)):
                continue
            ends = (rafters[on[0]] - left, left + length - rafters[on[-1]])
            if any(
                end > cantilever + 1e-6 and edge not in on
                for end, edge in zip(ends, (under[0], under[-1]), strict=True)
            ):
                continue
            found.append((int(max(ends) > cantilever + 1e-6), frozenset(on[1:-1]), count))
    return found


def best_at(
    stretches: list[Stretch], rafters: list[float], span: float, cantilever: float, staggered: bool
) -> Best:
    """The best of all sets at one place of the array, two rails to a stretch."""
    unseated, over, total = 0, 0, 0
    levels = []
    for one in stretches:
        sets = sets_of_rail(one.left_mm, one.length_mm, rafters, span, cantilever)
        if not sets:
            unseated += 2
            continue
        least = min(worse for worse, _, _ in sets)
        sets = [row for row in sets if row[0] == least]
        if staggered:
            levels += [sets, sets]
        else:
            over += 2 * least
            total += 2 * min(count for _, _, count in sets)
    if not staggered:
        return unseated, over, 0, total
    return (unseated, *_chain(levels))


def _chain(levels: list[list[tuple[int, frozenset[int], int]]]) -> tuple[int, int, int]:
    """Cheapest way through all levels: every set of a rail against every set of the next."""
    costs: dict[frozenset[int], tuple[int, int, int]] = {frozenset(): (0, 0, 0)}
    for sets in levels:
        fewest: dict[frozenset[int], tuple[int, int]] = {}
        for worse, inner, count in sets:
            fewest[inner] = min(fewest.get(inner, (9, 9_999)), (worse, count))
        costs = {
            inner: min(
                (a + worse, b + len(inner & was), c + count) for was, (a, b, c) in costs.items()
            )
            for inner, (worse, count) in fewest.items()
        }
    return min(costs.values())


def best_by_trying(
    stretches: list[Stretch],
    known: KnownRafters,
    span: float,
    cantilever: float,
    tolerance: int,
    staggered: bool,
) -> Best:
    """The best over every shift within the tolerance, to `GRID_MM`."""
    best: Best | None = None
    seen: dict[tuple[float, ...], Best] = {}
    right = max(one.left_mm + one.length_mm for one in stretches)
    for shift in range(-tolerance, tolerance + 1, GRID_MM):
        origin = known.first_rafter_mm - known.array_left_mm - shift
        rafters = [origin + n * known.spacing_mm for n in range(known.count)]
        rafters = [at for at in rafters if 0 <= at <= right]
        kept = tuple(
            rafters[n] - place >= 0
            for n in range(len(rafters))
            for one in stretches
            for place in (
                one.left_mm, one.left_mm + one.length_mm,
                one.left_mm + cantilever, one.left_mm + one.length_mm - cantilever,
            )
        )  # fmt: skip
        edges = tuple(
            rafters[n] - place <= 0
            for n in range(len(rafters))
            for one in stretches
            for place in (one.left_mm + cantilever, one.left_mm + one.length_mm)
        )
        key = (len(rafters), *kept, *edges)
        if key not in seen:  # the same rafters below the same parts of the same rails
            seen[key] = best_at(stretches, rafters, span, cantilever, staggered)
        best = seen[key] if best is None else min(best, seen[key])
    assert best is not None
    return best


def random_plane(rng: np.random.Generator) -> tuple[list[Stretch], KnownRafters, int, int, int]:
    """Ragged rows of up to eleven rafter spaces, whole mm: stretches, rafters, spaces in a span,
    cantilever and tolerance."""
    pitch = int(rng.choice([400, 406, 600, 610, 813, 900]))
    rows = int(rng.integers(1, 4))
    stretches = [
        Stretch(
            row,
            float(rng.choice([0, 0, rng.integers(0, 2 * pitch)])),
            float(rng.integers(int(1.2 * pitch), 11 * pitch)),
        )
        for row in range(rows)
    ]
    known = KnownRafters(5_000, float(rng.integers(0, pitch)), pitch, int(rng.integers(12, 40)))
    return (
        stretches,
        known,
        int(rng.integers(1, 5)),
        int(rng.integers(pitch // 3, int(1.3 * pitch))),
        int(rng.choice([0, 20, 50, 120])),
    )
