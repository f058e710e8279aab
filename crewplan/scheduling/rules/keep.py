"""What was published for the frozen days, or pinned by hand, stays."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import StageToPlace
from crewplan.scheduling.columns import Columns, kept_at
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import Row

NAME = "keep"


@dataclass(frozen=True, slots=True)
class Stay:
    """What stays."""

    most: int = 0
    """Published placements that can stay at once; fewer than there are if they contradict."""
    pinned: int = 0
    """Of them, pinned by hand."""
    firm: frozenset[str] = frozenset()
    """Stages that stay whichever of them do."""


def _kept(held: Columns, stage: StageToPlace) -> NDArray[np.int64]:
    """Columns of a stage where it was published."""
    columns = held.of_stage[stage.stage]
    there = (kept_at(stage, held.placements[column]) for column in columns.tolist())
    return columns[np.fromiter(there, dtype=np.bool_, count=len(columns))]


class _Beside:
    """Finds what no way of a stage to stay leaves room for.

    Which half-days it takes is open where it may be left and taken up again; rows of one half-day
    do not see that another stage has no room beside any of its ways.
    """

    def __init__(self, held: Columns) -> None:
        self._cells = held.occupied.toarray() > 0
        self._alone = np.array([p.short_h is None for p in held.placements], dtype=np.bool_)
        places = held.places
        self._stage, self._crew = places.stage[: len(self._cells)], places.crew[: len(self._cells)]

    def out(self, ways: NDArray[np.int64]) -> NDArray[np.int64]:
        """Other stages' columns of the crew that clash with each of the ways."""
        theirs = np.flatnonzero(self._crew == self._crew[ways[0]])
        theirs = theirs[self._stage[theirs] != self._stage[ways[0]]]
        taken, alone = self._cells[theirs], self._alone[theirs]
        clash = np.ones(len(theirs), dtype=np.bool_)
        for way in ways.tolist():
            meet = taken[:, self._cells[way]].any(axis=1)
            clash &= meet & (alone | self._alone[way])
        found: NDArray[np.int64] = theirs[clash]
        return found


def rows(held: Columns, stay: Stay) -> Iterator[Row]:
    """As many kept placements are picked as can be: rows, never a huge bonus in the price.

    A bonus large enough to hold would swallow the relative gap. Where all can stay, the row picks
    every one; where some contradict each other, the price decides which, and where the others go.
    What stays in any case stays by itself too, and nothing is picked that no way of it leaves room
    for: both follow from the other rows, and the relaxation is nearer to the price with them.
    """
    kept = [stage for stage in held.choices.stages if stage.keep is not None]
    pinned = [stage for stage in kept if stage.keep is not None and stage.keep.pinned]
    for stages, least in ((kept, stay.most), (pinned, stay.pinned)):
        if least:
            columns = np.concatenate([_kept(held, stage) for stage in stages])
            yield count_row(columns, len(columns), least, NAME)
    if not stay.firm:
        return
    beside = _Beside(held)
    for stage in kept:
        if stage.stage in stay.firm:
            ways = _kept(held, stage)
            yield count_row(ways, 1, 1, NAME)
            if len(out := beside.out(ways)):
                yield count_row(out, 0, rule=NAME)
