"""One shared piece of equipment serves one placement a day."""

from collections.abc import Iterator, Mapping

import numpy as np

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.grouping import spread
from crewplan.scheduling.rows import numbered_capacity_rows
from crewplan.scheduling.selection import Row

NAME = "equipment"
KIND: ReasonKind = "equipment"


def rows(held: Columns) -> Iterator[Row]:
    """Pieces of each kind on each day, for those whose crew must borrow."""
    choices = held.choices
    crew_of = {crew: index for index, crew in enumerate(choices.crews)}
    numbers: dict[str, int] = {}
    lists: list[list[int]] = [[]]
    borrowed = np.zeros((len(held.stages), len(crew_of)), dtype=np.int64)
    for index, stage in enumerate(held.stages.values()):
        for crew, pieces in stage.shared_equipment.items():
            if pieces and crew in crew_of:
                borrowed[index, crew_of[crew]] = len(lists)
                lists.append([numbers.setdefault(name, len(numbers)) for name in pieces])
    if not numbers:
        return
    columns, taken = held.half_days
    wants = borrowed[held.places.stage[columns], held.places.crew[columns]]
    days = taken // 2
    same_day = (np.diff(columns, prepend=-1) == 0) & (np.diff(days, prepend=-1) == 0)
    counts = (wants > 0) & ~same_day
    columns, days = columns[counts], days[counts]
    at, pieces_used = spread(wants[counts], lists)
    names, length = tuple(numbers), len(choices.horizon.days)
    there = np.array([choices.equipment.get(name, 0) for name in names], dtype=np.int64)
    yield from numbered_capacity_rows(
        pieces_used * length + days[at],
        columns[at],
        np.ones_like(at),
        np.repeat(there, length),
        NAME,
        lambda thing: names[thing // length],
    )


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which pieces are in use, and where."""
    used = (f"{name} ({', '.join(stages)})" for name, stages in clashes.items())
    return f"in use that day: {', '.join(used)}"
