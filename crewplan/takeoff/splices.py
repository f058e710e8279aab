"""Where a rail may be spliced, and the ways to put it together from stock lengths.

A splice lies between two attachments and out of the middle third of their span (makers' manuals);
none is in a cantilever, so that every piece is held (common practice, no source). A rail has no
more pieces than that takes. Where the rafters are not known, a rail may be cut anywhere.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise

Spans = tuple[tuple[float, float], ...]
"""Stretches of a rail, ascending and apart, mm from its left end; a stretch may be one place."""
Pieces = tuple[float, ...]
_ROUNDING_MM = 1e-6
_MOST_WAYS = 24
"""Ways to put one rail together that are compared."""


def splice_places(length_mm: float, seats_mm: Sequence[float]) -> Spans:
    """Where a splice may lie."""
    if not seats_mm:
        return ((0.0, length_mm),)
    third = [(after - before) / 3 for before, after in pairwise(seats_mm)]
    lefts = [0.0, *third]
    rights = [*third, 0.0]
    return tuple(
        (seat - left, seat + right)
        for seat, left, right in zip(seats_mm, lefts, rights, strict=True)
    )


def splice_shortfall_mm(length_mm: float, stock_mm: float, places: Spans, least_mm: float) -> float:
    """How much longer the stock had to be for the next allowed place; 0: the rail can be made."""
    reached = _reached(length_mm, stock_mm, places, least_mm)
    if any(_ends(spans, length_mm, stock_mm, least_mm) for spans in reached):
        return 0.0
    farthest = max(high for spans in reached for _, high in spans)
    beyond = [low for low, _ in places if low > farthest + stock_mm] + [length_mm]
    return max(1.0, min(beyond) - farthest - stock_mm)


def ways_to_splice(
    length_mm: float, stock_mm: float, places: Spans, least_mm: float
) -> tuple[Pieces, ...]:
    """Ways with the fewest pieces: longest pieces first from either end, and those that begin with
    a cut at an end of an allowed stretch. Empty where there is none.

    Any other way with a cut inside a stretch can be moved to one of its ends, or until a stock
    length is full; `cutting` tries the latter.
    """
    if length_mm <= stock_mm + _ROUNDING_MM:
        return ((length_mm,),)
    turned = tuple((length_mm - high, length_mm - low) for low, high in reversed(places))
    ways = dict.fromkeys(_from_left(length_mm, stock_mm, places, least_mm))
    ways |= dict.fromkeys(way[::-1] for way in _from_left(length_mm, stock_mm, turned, least_mm))
    return tuple(ways)[:_MOST_WAYS]


def _from_left(
    length_mm: float, stock_mm: float, places: Spans, least_mm: float
) -> Iterable[Pieces]:
    reached = _reached(length_mm, stock_mm, places, least_mm)
    cuts = next(
        (n for n, spans in enumerate(reached) if _ends(spans, length_mm, stock_mm, least_mm)), None
    )
    if cuts is None:
        return
    firsts = sorted({end for span in reached[1] for end in span}, reverse=True)
    for first in firsts:
        way = way_beginning_with(first, cuts, length_mm, stock_mm, places, least_mm)
        if way is not None:
            yield way


def way_beginning_with(
    first_mm: float, cuts: int, length_mm: float, stock_mm: float, places: Spans, least_mm: float
) -> Pieces | None:
    """A first piece, then each next cut as far right as it may lie; None where that does not end
    after so many cuts."""
    least = max(least_mm, _ROUNDING_MM)
    if not any(low - _ROUNDING_MM <= first_mm <= high + _ROUNDING_MM for low, high in places):
        return None
    if not least - _ROUNDING_MM <= first_mm <= stock_mm + _ROUNDING_MM:
        return None
    at, pieces = first_mm, [first_mm]
    for _ in range(cuts - 1):
        span = (at + least, min(at + stock_mm, length_mm - least))
        following = _both((span,), places)
        if not following:
            return None
        pieces.append(following[-1][1] - at)
        at = following[-1][1]
    last = length_mm - at
    if not least - _ROUNDING_MM <= last <= stock_mm + _ROUNDING_MM:
        return None
    return (*pieces, last)


def _reached(length_mm: float, stock_mm: float, places: Spans, least_mm: float) -> list[Spans]:
    """After 0, 1, 2 ... cuts: where the last of them can lie, up to as many as it ever takes."""
    least = max(least_mm, _ROUNDING_MM)
    found: list[Spans] = [((0.0, 0.0),)]
    while found[-1] and not _ends(found[-1], length_mm, stock_mm, least_mm):
        ahead = tuple((low + least, high + stock_mm) for low, high in found[-1])
        spans = _both(_merged(ahead), places)
        if not spans or (len(found) > 1 and spans[-1][1] <= found[-1][-1][1] + _ROUNDING_MM):
            break  # no farther than before: it never ends
        found.append(spans)
    return found


def _ends(spans: Spans, length_mm: float, stock_mm: float, least_mm: float) -> bool:
    """Whether the rest of the rail is one good piece."""
    low, high = length_mm - stock_mm - _ROUNDING_MM, length_mm - least_mm + _ROUNDING_MM
    return any(a <= high and b >= low for a, b in spans)


def _both(first: Spans, second: Spans) -> Spans:
    """What lies in both; each ascending and apart."""
    shared: list[tuple[float, float]] = []
    i = j = 0
    while i < len(first) and j < len(second):
        low, high = max(first[i][0], second[j][0]), min(first[i][1], second[j][1])
        if low <= high:
            shared.append((low, high))
        if first[i][1] < second[j][1]:
            i += 1
        else:
            j += 1
    return tuple(shared)


def _merged(spans: Spans) -> Spans:
    done: list[tuple[float, float]] = []
    for low, high in sorted(spans):
        if done and low <= done[-1][1]:
            done[-1] = (done[-1][0], max(high, done[-1][1]))
        else:
            done.append((low, high))
    return tuple(done)
