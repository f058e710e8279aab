"""Layers of a public forecast grid: values over intervals of their own, brought to one set of rows.

Each layer is cut at its own times and ends at its own time. What no interval of a layer covers is
unknown there: a missing hour of rain is not 0 mm.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

from crewplan.intake.feeds.json_parts import HOUR_S, Span, items, number, part, span, text
from crewplan.model.units import WORDS, convert

LONGEST_S = 10 * 24 * HOUR_S
"""Nothing later than this after the forecast's start is read: the grid tells about a week."""

MOST_ENTRIES = 2_000
"""Of one layer; a week has 170 hours."""

_UOM = {
    "km_h-1": "km/h",
    "m_s-1": "m/s",
    "kt": "kt",
    "degC": "degC",
    "degF": "degF",
    "percent": "pct",
    "mm": "mm",
    "in": "in",
}
"""Unit codes of the grid, after their prefix -> the word that `WORDS` knows, or a suffix."""


@dataclass(frozen=True, slots=True)
class Layer:
    """Known values over intervals, in the order told."""

    spans: tuple[tuple[int, int, float], ...]
    """Start, end (seconds since 1970-01-01 UTC), value."""


def entries(told: Any) -> list[Any]:
    """The intervals of a layer; none of a layer that has absurdly many."""
    found = items(part(told, "values"))
    return found if len(found) <= MOST_ENTRIES else []


def measured(told: Any, suffix: str) -> Layer:
    """A layer of numbers in the unit with `suffix`; empty where its unit is not understood."""
    uom = text(part(told, "uom")).rpartition(":")[2]
    word = _UOM.get(uom, "")
    source = WORDS.get(word.lower(), word)
    if not source:
        return Layer(())
    found = []
    for entry in entries(told):
        when, value = span(part(entry, "validTime")), number(part(entry, "value"))
        if when is not None and not math.isnan(value):
            try:
                found.append((*when, convert(value, source, suffix)))
            except ValueError:
                return Layer(())
    return Layer(tuple(found))


Overlap = Literal["highest", "unknown"]


def value_in(layer: Layer, start: int, end: int, overlap: Overlap) -> float:
    """The layer's value over a stretch that no interval's edge cuts; NaN where none covers it.

    Where intervals overlap and disagree: the highest, or unknown for values that harm both ways.
    """
    values = {value for first, last, value in layer.spans if first <= start and end <= last}
    if not values or (overlap == "unknown" and len(values) > 1):
        return math.nan
    return max(values)


def cuts(layers: Sequence[Layer], extra: Sequence[Span], first: int) -> tuple[int, ...]:
    """All edges, and every whole hour between them, from `first` on."""
    last = first + LONGEST_S
    edges = {at for layer in layers for start, end, _ in layer.spans for at in (start, end)}
    if not edges:
        return ()
    begin, finish = max(min(edges), first), min(max(edges), last)
    edges |= {at for one in extra for at in one}
    whole = range(-(-begin // HOUR_S) * HOUR_S, finish, HOUR_S)
    return tuple(sorted({at for at in (*edges, *whole) if begin <= at <= finish}))


def stretches(layers: Mapping[str, Layer], extra: Sequence[Span], first: int) -> list[Span]:
    """Pieces of at most an hour over which every layer has one value, or none."""
    edges = cuts(tuple(layers.values()), extra, first)
    return list(pairwise(edges))
