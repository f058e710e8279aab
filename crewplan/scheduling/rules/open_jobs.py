"""A crew leaves only so many jobs open at once, to come back to them."""

from collections.abc import Hashable, Iterator, Mapping

from crewplan.model.placement import Choices, ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import capacity_rows
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
    capacity: dict[Hashable, int] = {}
    subjects: dict[Hashable, str] = {}
    for crew in choices.crews:
        most = may_leave_open(choices, crew)
        for cell in choices.horizon.cells:
            capacity[crew, cell] = most
            subjects[crew, cell] = crew
    uses = (
        ((placement.crew, cell), column, 1)
        for column, placement in enumerate(held.placements)
        for cell in placement.away
    )
    yield from capacity_rows(uses, capacity, NAME, subjects)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which crews, and what they have left open."""
    told = (
        f"{crew} ({', '.join(stages) if stages else 'from before'})"
        for crew, stages in clashes.items()
    )
    return f"these crews would leave too many jobs open: {', '.join(told)}"
