"""What was published for the frozen days, or pinned by hand, stays."""

from collections.abc import Collection, Iterator

from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import Row

NAME = "keep"


def rows(held: Columns, standing: Collection[str]) -> Iterator[Row]:
    """The kept placement of each stage of `standing` is picked: a row, never a bonus in the price.

    A bonus large enough to hold would swallow the relative gap.
    """
    for stage in held.choices.stages:
        if stage.stage in standing:
            yield count_row(held.of_stage[stage.stage], 1, 1, NAME, stage.stage)
