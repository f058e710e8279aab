"""Where a rail's attachments sit once the rafters are known: on rafters only.

Places are in mm from the rail's left end. A rail of length L needs its outermost attachments
within the cantilever c of its ends and no span over m rafter spaces.
"""

import math
from dataclasses import dataclass

from crewplan.takeoff.rail import ceil_mm

_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Rafters:
    """Rafters under a rail: every `spacing_mm` from `first_mm` on, `count` of them."""

    first_mm: float
    """Of the first rafter of the plane from the rail's left end; negative: left of it."""
    spacing_mm: float
    count: int

    def place(self, index: int) -> float:
        """Centre of a rafter, mm from the rail's left end."""
        return self.first_mm + index * self.spacing_mm

    def seen_from(self, left_mm: float) -> "Rafters":
        """The same rafters from a place farther right."""
        return Rafters(self.first_mm - left_mm, self.spacing_mm, self.count)

    def between(self, low_mm: float, high_mm: float) -> range:
        """Indices of the rafters whose centres lie in [low, high]."""
        low = math.ceil((low_mm - self.first_mm - _ROUNDING_MM) / self.spacing_mm)
        high = math.floor((high_mm - self.first_mm + _ROUNDING_MM) / self.spacing_mm)
        return range(max(0, low), min(self.count, high + 1))


@dataclass(frozen=True, slots=True)
class Seats:
    """Attachments of one rail; `excess_mm` is how far the worst end is over the cantilever."""

    places_mm: tuple[float, ...]
    excess_mm: float


def seat_rail(
    length_mm: float, rafters: Rafters, spaces_per_span: int, cantilever_mm: float
) -> Seats | None:
    """Fewest attachments that keep cantilever and span; of these the ends that reach least.

    Where no choice of rafters keeps the cantilever, the outermost rafters under the rail and the
    excess. None where fewer than two rafters lie under the rail.
    """
    pairs = end_pairs(length_mm, rafters, cantilever_mm)
    if not pairs:
        return None

    def rank(pair: tuple[int, int]) -> tuple[int, tuple[float, float]]:
        ends = (rafters.place(pair[0]), length_mm - rafters.place(pair[1]))
        return fewest_seats(pair[1] - pair[0], spaces_per_span), (max(ends), sum(ends))

    best = min(pairs, key=rank)
    count = fewest_seats(best[1] - best[0], spaces_per_span)
    return Seats(
        tuple(rafters.place(index) for index in _spread(*best, count)),
        excess_mm(*best, length_mm, rafters, cantilever_mm),
    )


def end_pairs(length_mm: float, rafters: Rafters, cantilever_mm: float) -> list[tuple[int, int]]:
    """First and last rafter that a rail may sit on; the outermost two where none keep the
    cantilever, and none where fewer than two lie below."""
    under = rafters.between(0.0, length_mm)
    if len(under) < 2:
        return []
    firsts = rafters.between(0.0, min(cantilever_mm, length_mm)) or under[:1]
    lasts = rafters.between(max(length_mm - cantilever_mm, 0.0), length_mm) or under[-1:]
    return [(a, b) for a in firsts for b in lasts if a < b] or [(under[0], under[-1])]


def excess_mm(
    first: int, last: int, length_mm: float, rafters: Rafters, cantilever_mm: float
) -> float:
    """How far the worse end of a rail that sits on these reaches over the cantilever."""
    reach = max(rafters.place(first), length_mm - rafters.place(last))
    return max(0.0, reach - cantilever_mm - _ROUNDING_MM)


def good_first_places_mm(
    length_mm: float, spacing_mm: float, spaces_per_span: int, cantilever_mm: float, count: int
) -> tuple[tuple[float, float], ...]:
    """Where a rafter must lie, from the rail's left end, for `count` attachments to be enough.

    Ranges in ascending order, merged. Empty: nowhere is the cantilever kept. A range of a whole
    rafter spacing or more: wherever the array falls.
    """
    need = length_mm - 2 * cantilever_mm
    fewest = max(1, ceil_mm(need / spacing_mm))
    most = min((count - 1) * spaces_per_span, math.floor(length_mm / spacing_mm + _ROUNDING_MM))
    ranges: list[tuple[float, float]] = []
    for spaces in range(most, fewest - 1, -1):
        rest = length_mm - spaces * spacing_mm
        low, high = max(0.0, rest - cantilever_mm), min(cantilever_mm, rest)
        if low > high + _ROUNDING_MM:
            continue
        if ranges and low <= ranges[-1][1] + _ROUNDING_MM:
            ranges[-1] = (ranges[-1][0], max(high, ranges[-1][1]))
        else:
            ranges.append((low, high))
    return tuple(ranges)


def fewest_seats(spaces: int, spaces_per_span: int) -> int:
    """Attachments over so many rafter spaces, both ends included."""
    return max(2, -(-spaces // spaces_per_span) + 1)


def _spread(first: int, last: int, count: int) -> list[int]:
    """`count` rafters from first to last with spans as even as whole spaces allow."""
    return [first + (last - first) * i // (count - 1) for i in range(count)]
