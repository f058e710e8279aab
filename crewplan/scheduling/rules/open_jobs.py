"""A crew leaves only so many jobs open at once, to come back to them."""

from collections.abc import Iterator, Mapping

import numpy as np

from crewplan.model.placement import Choices, ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.grouping import spread
from crewplan.scheduling.rows import numbered_capacity_rows
from crewplan.scheduling.selection import Row

NAME = "open jobs"
KIND: ReasonKind = "capacity"


def may_leave_open(choices: Choices, crew: str) -> int:
    """How many more the crew may leave open: what it has left open before counts throughout."""
    left = sum(stage.left_open_by == crew for stage in choices.stages)
    return max(choices.open_jobs_max - left, 0)


def rows(held: Columns) -> Iterator[Row]:
    """Stages that each crew has left open in each half-day."""
    choices = held.choices
    crews, cells = choices.crews, len(choices.horizon.cells)
    if len(held.left_open) == 0:
        return
    away = [held.placements[column].away for column in held.left_open.tolist()]
    at, taken = spread(np.arange(len(away)), away)
    columns = held.left_open[at]
    most = np.array([may_leave_open(choices, crew) for crew in crews], dtype=np.int64)
    yield from numbered_capacity_rows(
        held.places.crew[columns] * cells + taken,
        columns,
        np.ones_like(columns),
        np.repeat(most, cells),
        NAME,
        lambda thing: crews[thing // cells],
    )


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which crews, and what they have left open."""
    told = (
        f"{crew} ({', '.join(stages) if stages else 'from before'})"
        for crew, stages in clashes.items()
    )
    return f"these crews would leave too many jobs open: {', '.join(told)}"
