"""A job's rails cut from the fewest stock lengths, off-cuts used across rows and planes.

Each rail is put together in one of the `ways_to_splice`, always with the fewest splices; saw cuts
are taken as having no width. A quick packing comes first. Where it takes more stock lengths than
the bound, the cutting-stock problem over all ways and all patterns is solved exactly (`patterns`).
"""

import math
from bisect import bisect_left, insort
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from crewplan.takeoff.patterns import MOST_WAYS, best_patterns
from crewplan.takeoff.splices import Pieces, Spans, way_beginning_with, ways_to_splice

_ROUNDING_MM = 1e-6
_DIGITS = 4
_DEPTH = 4
"""How often ways are widened by what fills a stock length."""


class RailToCut(NamedTuple):
    """One rail, and where it may be spliced."""

    length_mm: float
    places: Spans


class Part(NamedTuple):
    """One piece of one rail."""

    rail: int
    part: int
    """0 at the rail's left end."""
    length_mm: float


class Cutting(NamedTuple):
    """How each rail is put together, and what each stock length is cut into."""

    ways: tuple[Pieces, ...]
    stock: tuple[tuple[Part, ...], ...]
    least: int
    """No cutting takes fewer stock lengths: proven."""


def cut_rails(rails: Sequence[RailToCut], stock_mm: float, least_piece_mm: float) -> Cutting:
    """The best cutting; a rail that has no allowed way is cut into stock lengths as it comes.

    Raises nothing: that a rail has no allowed way is told by `splice_shortfall_mm`.
    """
    order = sorted(range(len(rails)), key=lambda place: rails[place])
    found = _cut(tuple(rails[place] for place in order), stock_mm, least_piece_mm)
    ways: list[Pieces] = [()] * len(rails)
    for place, way in zip(order, found.ways, strict=True):
        ways[place] = way
    stock = tuple(
        tuple(part._replace(rail=order[part.rail]) for part in parts) for parts in found.stock
    )
    return Cutting(tuple(ways), stock, found.least)


@lru_cache(maxsize=4096)
def _cut(rails: tuple[RailToCut, ...], stock_mm: float, least_piece_mm: float) -> Cutting:
    kinds = list(dict.fromkeys(rails))
    ways = {kind: _ways(kind, stock_mm, least_piece_mm) for kind in kinds}
    least = least_stock(rails, stock_mm, {kind: len(ways[kind][0]) for kind in kinds})
    quick = min(_tries(rails, ways, stock_mm, least), key=lambda one: len(one.stock))
    counts = Counter(rails)
    for tried in _wider_and_wider(ways, stock_mm, least_piece_mm):
        if len(quick.stock) == least:
            break
        chosen = best_patterns(
            [(tried[kind], counts[kind]) for kind in kinds], stock_mm, least, len(quick.stock)
        )
        if chosen is not None:
            quick = _as_told(rails, kinds, tried, *chosen)
    return quick._replace(least=least)


def least_stock(rails: Sequence[RailToCut], stock_mm: float, pieces: dict[RailToCut, int]) -> int:
    """A proven bound: the published one, total length / stock length, or that of full bins.

    Where each rail has ceil(length / stock) pieces, any cutting can be changed into one of whole
    stock lengths and a rest for each rail without taking more: two pieces a + b over a stock length
    become one stock length and a + b - stock, and what shared their stock lengths still fits into
    one. So the rests' own bound holds: those over a half lie alone, and so on (Martello and Toth).
    """
    bound = math.ceil(sum(rail.length_mm for rail in rails) / stock_mm - _ROUNDING_MM)
    whole, rests = 0, []
    for rail in rails:
        count = max(1, math.ceil(rail.length_mm / stock_mm - _ROUNDING_MM))
        if pieces[rail] != count:
            return bound
        whole += count - 1
        rests.append(rail.length_mm - (count - 1) * stock_mm)
    for cut in {0.0, *(rest for rest in rests if rest <= stock_mm / 2)}:
        alone = sum(rest > stock_mm - cut + _ROUNDING_MM for rest in rests)
        large = [rest for rest in rests if stock_mm / 2 < rest <= stock_mm - cut + _ROUNDING_MM]
        small = sum(rest for rest in rests if cut - _ROUNDING_MM <= rest <= stock_mm / 2)
        room = len(large) * stock_mm - sum(large)
        more = max(0, math.ceil((small - room) / stock_mm - _ROUNDING_MM))
        bound = max(bound, whole + alone + len(large) + more)
    return bound


def _ways(kind: RailToCut, stock_mm: float, least_mm: float) -> tuple[Pieces, ...]:
    ways = ways_to_splice(kind.length_mm, stock_mm, kind.places, least_mm)
    if ways:
        return ways
    count = math.ceil(kind.length_mm / stock_mm - _ROUNDING_MM)
    return ((*(stock_mm,) * (count - 1), kind.length_mm - (count - 1) * stock_mm),)


def _tries(
    rails: tuple[RailToCut, ...],
    ways: dict[RailToCut, tuple[Pieces, ...]],
    stock_mm: float,
    least: int,
) -> Iterator[Cutting]:
    """Quick packings, until one takes no more than the bound: rail by rail in three orders, then
    all pieces of each rail's n-th way, longest first."""
    for turn in range(3):
        found = _rail_by_rail(rails, ways, stock_mm, turn)
        yield found
        if len(found.stock) == least:
            return
    for number in range(max(map(len, ways.values()))):
        found = _longest_first([ways[rail][number % len(ways[rail])] for rail in rails], stock_mm)
        yield found
        if len(found.stock) == least:
            return


def _longest_first(chosen: Sequence[Pieces], stock_mm: float) -> Cutting:
    parts = [Part(rail, part, p) for rail, way in enumerate(chosen) for part, p in enumerate(way)]
    stock = _Stock(stock_mm)
    for part in sorted(parts, key=lambda part: -part.length_mm):
        stock.put(part)
    return Cutting(tuple(chosen), tuple(map(tuple, stock.parts)), 0)


class _Stock:
    """Stock lengths that are being filled; a piece goes where least stays over."""

    def __init__(self, stock_mm: float) -> None:
        self.stock_mm = stock_mm
        self.parts: list[list[Part]] = []
        self.room: list[tuple[float, int]] = []  # ascending: what is left of which stock length

    def put(self, part: Part) -> None:
        fits = bisect_left(self.room, (part.length_mm - _ROUNDING_MM, -1))
        if fits < len(self.room):
            left, at = self.room.pop(fits)
        else:
            left, at = self.stock_mm, len(self.parts)
            self.parts.append([])
        self.parts[at].append(part)
        insort(self.room, (left - part.length_mm, at))


def _rail_by_rail(
    rails: tuple[RailToCut, ...],
    ways: dict[RailToCut, tuple[Pieces, ...]],
    stock_mm: float,
    turn: int,
) -> Cutting:
    """One rail after the other, in the way that takes least new stock and fits off-cuts best.

    Args:
        turn: 0: longest rail first; 1: longest rest first; 2: shortest rail first.
    """
    order = sorted(range(len(rails)), key=lambda place: _first(rails[place], stock_mm, turn))
    stock = _Stock(stock_mm)
    chosen: list[Pieces] = [()] * len(rails)
    for rail in order:
        rooms = [left for left, _ in stock.room]
        way = chosen[rail] = min(
            ways[rails[rail]], key=lambda way: _laid(way, list(rooms), stock_mm)
        )
        for part in sorted(range(len(way)), key=lambda part: -way[part]):
            stock.put(Part(rail, part, way[part]))
    return Cutting(tuple(chosen), tuple(map(tuple, stock.parts)), 0)


def _first(rail: RailToCut, stock_mm: float, turn: int) -> float:
    return (-rail.length_mm, -(rail.length_mm % stock_mm), rail.length_mm)[turn]


def _laid(way: Pieces, rooms: list[float], stock_mm: float) -> tuple[int, float]:
    """New stock lengths that a way takes, and the length that stays over in what it lies in.

    `rooms`, ascending, is used up.
    """
    new, over = 0, 0.0
    for piece in sorted(way, reverse=True):
        fits = bisect_left(rooms, piece - _ROUNDING_MM)
        if fits < len(rooms):
            left = rooms.pop(fits)
        else:
            left, new = stock_mm, new + 1
        over += left - piece
        insort(rooms, left - piece)
    return new, over


def _wider_and_wider(
    ways: dict[RailToCut, tuple[Pieces, ...]], stock_mm: float, least_mm: float
) -> Iterator[dict[RailToCut, tuple[Pieces, ...]]]:
    """All ways; then those with the longest pieces, widened by what fills stock lengths with them,
    and with those again, as long as the ways are few enough to be compared exactly."""
    yield ways
    some = {kind: _of_longest(own) for kind, own in ways.items()}
    for _ in range(_DEPTH):
        wider = _with_full_lengths(some, stock_mm, least_mm)
        if wider == some or sum(map(len, wider.values())) > MOST_WAYS:
            return
        yield wider
        some = wider


def _of_longest(ways: tuple[Pieces, ...]) -> tuple[Pieces, ...]:
    """The ways with the longest first and with the longest last piece."""
    first = max(ways, key=lambda way: way[0])
    last = max(ways, key=lambda way: way[-1])
    return tuple(dict.fromkeys((first, last)))


def _with_full_lengths(
    ways: dict[RailToCut, tuple[Pieces, ...]], stock_mm: float, least_mm: float
) -> dict[RailToCut, tuple[Pieces, ...]]:
    """Ways whose first or last piece fills a stock length together with a piece of another way."""
    rests = {
        round(stock_mm - piece, _DIGITS)
        for kind in ways
        for way in ways[kind]
        for piece in way
        if piece < stock_mm - _ROUNDING_MM
    }
    wider: dict[RailToCut, tuple[Pieces, ...]] = {}
    for kind, own in ways.items():
        found = dict.fromkeys(own)
        if len(own[0]) > 1:
            turned = tuple(
                (kind.length_mm - high, kind.length_mm - low) for low, high in kind.places[::-1]
            )
            for rest in sorted(rests):
                for places, step in ((kind.places, 1), (turned, -1)):
                    way = way_beginning_with(
                        rest, len(own[0]) - 1, kind.length_mm, stock_mm, places, least_mm
                    )
                    if way is not None:
                        found[way[::step]] = None
        wider[kind] = tuple(found)
    return wider


def _as_told(
    rails: tuple[RailToCut, ...],
    kinds: list[RailToCut],
    ways: dict[RailToCut, tuple[Pieces, ...]],
    uses: list[list[int]],
    patterns: list[tuple[float, ...]],
) -> Cutting:
    """Patterns of lengths as pieces of rails: a length goes to the next rail that asks."""
    chosen: list[Pieces] = [()] * len(rails)
    waiting: dict[float, list[Part]] = {}
    for kind, counts in zip(kinds, uses, strict=True):
        places = [place for place, rail in enumerate(rails) if rail == kind]
        told = [way for way, count in zip(ways[kind], counts, strict=True) for _ in range(count)]
        for place, way in zip(places, told, strict=True):
            chosen[place] = way
            for part, piece in enumerate(way):
                waiting.setdefault(round(piece, _DIGITS), []).append(Part(place, part, piece))
    stock = []
    for lengths in patterns:
        parts = [waiting[length].pop(0) for length in lengths if waiting.get(length)]
        if parts:
            stock.append(tuple(parts))
    return Cutting(tuple(chosen), tuple(stock), 0)
