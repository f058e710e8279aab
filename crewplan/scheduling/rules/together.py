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
    for column, placement in enumerate(held.placements):
        if placement.with_visit:
            key = (placement.stage, placement.with_visit, placement.crew, placement.start)
            found.setdefault(key, []).append(column)
    for (stage, other, crew, start), own in found.items():
        theirs = found.get((other, stage, crew, start), [])
        columns = np.array([*own, *theirs], dtype=np.int64)
        factors = np.array([1] * len(own) + [-1] * len(theirs), dtype=np.int64)
        yield Row(columns, factors, 0, rule=NAME, subject=other)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """With which visits the drive would be shared."""
    return f"shares its drive with {', '.join(clashes)}"
