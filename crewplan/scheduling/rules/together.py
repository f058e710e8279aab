"""Two visits on one drive: both are picked so, or neither."""

from collections.abc import Iterator, Mapping

import numpy as np

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.selection import Row

NAME = "one drive"
KIND: ReasonKind = "capacity"


def rows(held: Columns) -> Iterator[Row]:
    """Each way round, with upper ends only, so that nothing seats one of the two alone."""
    found: dict[tuple[str, str, str, int], list[int]] = {}
    for column, other in enumerate([placement.with_visit for placement in held.placements]):
        if other:
            p = held.placements[column]
            found.setdefault((p.stage, other, p.crew, p.start), []).append(column)
    pairs = [
        (other, own, found.get((other, stage, crew, start), []))
        for (stage, other, crew, start), own in found.items()
    ]
    if not pairs:
        return
    # thousands of rows of two columns each: pieces of one array are made faster than arrays
    columns = np.array([c for _, own, theirs in pairs for c in (*own, *theirs)], dtype=np.int64)
    signs = [1] * len(pairs), [-1] * len(pairs)
    counts = [n for _, own, theirs in pairs for n in (len(own), len(theirs))]
    factors = np.repeat(np.array(signs, dtype=np.int64).T.ravel(), counts)
    begin = 0
    for (other, _, _), own, theirs in zip(pairs, counts[::2], counts[1::2], strict=True):
        row = slice(begin, begin := begin + own + theirs)
        yield Row(columns[row], factors[row], 0, rule=NAME, subject=other)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """With which visits the drive would be shared."""
    return f"shares its drive with {', '.join(clashes)}"
