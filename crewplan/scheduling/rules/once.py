"""A stage is placed once or not at all."""

from collections.abc import Iterator, Mapping

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.selection import Row

NAME = "once"
KIND: ReasonKind = "capacity"


def rows(held: Columns) -> Iterator[Row]:
    """At most one placement of each stage."""
    for stage, found in held.of_stage.items():
        if len(found):
            yield count_row(found, 1, rule=NAME, subject=stage)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """For a stage that stands somewhere already."""
    return f"placed already: {', '.join(clashes)}"
