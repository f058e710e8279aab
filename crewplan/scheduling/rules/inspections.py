"""An authority inspects only so many systems a day."""

from collections.abc import Hashable, Iterator, Mapping

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import capacity_rows
from crewplan.scheduling.selection import Row

NAME = "inspections"
KIND: ReasonKind = "inspections"


def rows(held: Columns) -> Iterator[Row]:
    """Inspections of each authority that start on each day, where a limit is known."""
    choices = held.choices
    limit = choices.inspections_per_day
    capacity: dict[Hashable, int] = {}
    subjects: dict[Hashable, str] = {}
    for authority, most in limit.items():
        for day in range(len(choices.horizon.days)):
            capacity[authority, day] = most
            subjects[authority, day] = authority
    uses = (
        ((stage.authority, placement.start // 2), column, 1)
        for column, placement in enumerate(held.placements)
        for stage in (held.stages[placement.stage],)
        if stage.kind == "inspection" and stage.authority in limit
    )
    yield from capacity_rows(uses, capacity, NAME, subjects)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Whose inspectors are taken, and by what."""
    taken = (f"{authority} ({', '.join(stages)})" for authority, stages in clashes.items())
    return f"no inspection left that day: {', '.join(taken)}"
