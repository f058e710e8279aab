"""What was published for the frozen days, or pinned by hand, stays."""

from collections.abc import Iterator
from dataclasses import dataclass

from crewplan.scheduling.columns import Columns, kept_at
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import Row

NAME = "keep"


@dataclass(frozen=True, slots=True)
class Stay:
    """How many published placements can stay at once; fewer than there are if they contradict."""

    most: int = 0
    pinned: int = 0
    """Of them, pinned by hand."""


def rows(held: Columns, stay: Stay) -> Iterator[Row]:
    """As many kept placements are picked as can be: rows, never a huge bonus in the price.

    A bonus large enough to hold would swallow the relative gap. Where all can stay, the row picks
    every one; where some contradict each other, the price decides which, and where the others go.
    """
    kept = [stage for stage in held.choices.stages if stage.keep is not None]
    pinned = [stage for stage in kept if stage.keep is not None and stage.keep.pinned]
    for stages, least in ((kept, stay.most), (pinned, stay.pinned)):
        if least:
            columns = [
                column
                for stage in stages
                for column in held.of_stage[stage.stage]
                if kept_at(stage, held.placements[column])
            ]
            yield count_row(columns, len(columns), least, NAME)
