"""The words that a learned row of `rates` carries in `source`, written and read in one place.

The contract's columns have no place for how well a rate is known and until when it was learned, so
the source says it. Whoever rewrites these words makes the row a table row like any other: it is
then as uncertain as any, and all hours count for it.
"""

import re
from datetime import date
from typing import NamedTuple

_WORDS = re.compile(
    r"learned from (\d+) stages until (\d{4}-\d{2}-\d{2}), rate known to (\d+(?:\.\d+)?) %"
)


class LearnedSource(NamedTuple):
    """What the source of a learned row says."""

    stages: int
    until: date
    uncertainty: float
    """Standard deviation of the rate / the rate."""


def source_words(said: LearnedSource) -> str:
    """For the column `source`."""
    return (
        f"learned from {said.stages} stages until {said.until.isoformat()}, "
        f"rate known to {100 * said.uncertainty:.1f} %"
    )


def read_source(source: str) -> LearnedSource | None:
    """What a source says; None for a row that was not learned."""
    found = _WORDS.fullmatch(source.strip())
    if found is None:
        return None
    try:
        until = date.fromisoformat(found[2])
    except ValueError:
        return None
    return LearnedSource(int(found[1]), until, float(found[3]) / 100)
