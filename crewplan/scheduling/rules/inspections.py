"""An authority inspects only so many systems a day."""

from collections.abc import Iterator, Mapping

import numpy as np

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import numbered_capacity_rows
from crewplan.scheduling.selection import Row

NOBODY = -1
NAME = "inspections"
KIND: ReasonKind = "inspections"


def rows(held: Columns) -> Iterator[Row]:
    """Inspections of each authority that start on each day, where a limit is known."""
    choices = held.choices
    limit, days = choices.inspections_per_day, len(choices.horizon.days)
    if not limit:
        return
    authorities = tuple(limit)
    number = {authority: index for index, authority in enumerate(authorities)}
    inspected_by = [
        number.get(stage.authority, NOBODY) if stage.kind == "inspection" else NOBODY
        for stage in held.stages.values()
    ]
    who = np.array(inspected_by, dtype=np.int64)[held.placed.stage]
    columns = np.flatnonzero(who != NOBODY)
    yield from numbered_capacity_rows(
        who[columns] * days + held.places.first[columns] // 2,
        columns,
        np.ones_like(columns),
        np.repeat(np.array(list(limit.values()), dtype=np.int64), days),
        NAME,
        lambda thing: authorities[thing // days],
    )


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Whose inspectors are taken, and by what."""
    taken = (f"{authority} ({', '.join(stages)})" for authority, stages in clashes.items())
    return f"no inspection left that day: {', '.join(taken)}"
