"""What was published for the frozen days, or pinned by hand, stays."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.scheduling.columns import Columns
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


def _in_the_way(held: Columns, ways: NDArray[np.int64]) -> NDArray[np.int64]:
    """Columns of the crew that clash with each of these ways of one stage to stay.

    Which half-days it takes is open where it may be left and taken up again; rows of one half-day
    do not see that another stage has no room beside any of them.
    """
    crew, stage = held.placed.crew, held.placed.stage
    theirs = np.flatnonzero((crew == crew[ways[0]]) & (stage != stage[ways[0]]))
    taken, alone = held.occupied[theirs], np.isnan(held.short_h)
    clash = np.ones(len(theirs), dtype=np.bool_)
    for way in ways.tolist():
        cells = np.zeros(taken.shape[1], dtype=np.int64)
        cells[list(held.placements[way].cells)] = 1
        clash &= (taken @ cells > 0) & (alone[theirs] | alone[way])
    return theirs[clash]


def rows(held: Columns, stay: Stay) -> Iterator[Row]:
    """As many kept placements are picked as can be: rows, never a huge bonus in the price.

    A bonus large enough to hold would swallow the relative gap. Where all can stay, the row picks
    every one; where some contradict each other, the price decides which, and where the others go.
    What stays in any case stays by itself too, and nothing is picked that no way of it leaves room
    for: both follow from the other rows, and the relaxation is nearer to the price with them.
    """
    ways_of = {s.stage: held.where_kept(s) for s in held.choices.stages if s.keep is not None}
    pinned = (s.stage for s in held.choices.stages if s.keep is not None and s.keep.pinned)
    for stages, least in ((ways_of, stay.most), (pinned, stay.pinned)):
        if least:
            columns = np.concatenate([ways_of[stage] for stage in stages])
            yield count_row(columns, len(columns), least, NAME)
    for stage, ways in ways_of.items():
        if stage in stay.firm:
            yield count_row(ways, 1, 1, NAME)
            if len(out := _in_the_way(held, ways)):
                yield count_row(out, 0, rule=NAME)
