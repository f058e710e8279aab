"""Equipment: the crew's own, else shared, else the crew cannot go."""

from collections.abc import Iterable
from datetime import date

import numpy as np

from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import Stage
from crewplan.model.material_rows import Equipment
from crewplan.model.people_rows import Crew
from crewplan.placing.needs.people import DayFault
from crewplan.placing.removals import Removal


def borrowed(stage: Stage, crew: Crew) -> tuple[str, ...]:
    """Equipment that the stage asks for and the crew does not own, each once."""
    return tuple(dict.fromkeys(e for e in stage.equipment if e not in crew.equipment))


def without_equipment(
    stage: Stage, crew: Crew, shared: dict[str, int], horizon: Horizon
) -> list[Removal]:
    """All starts of a crew that lacks something which nobody can lend it."""
    every = np.ones(len(horizon.cells), dtype=np.bool_)
    return [
        Removal("equipment", f"{name}: not owned by crew {{crews}}, none shared", every, crew.crew)
        for name in borrowed(stage, crew)
        if shared.get(name, 0) < 1
    ]


def usable(row: Equipment, day: date) -> bool:
    """Whether shared equipment may be used on a day: not away, and its service not overdue."""
    due = row.service_due_on is None or day <= row.service_due_on
    return due and not any(first <= day <= last for first, last in row.in_service)


def out_of_service(
    stage: Stage, crew: Crew, equipment: Iterable[Equipment], days: tuple[date, ...]
) -> list[DayFault]:
    """Days on which what the stage asks for is away for service, or its service is overdue."""
    lent = borrowed(stage, crew)
    faults: list[DayFault] = []
    for row in equipment:
        bad = np.array([not usable(row, day) for day in days], dtype=np.bool_)
        if row.equipment in lent and bad.any():
            words = [f"service due on {row.service_due_on}"] if row.service_due_on else []
            words += [f"away {first}..{last}" for first, last in row.in_service]
            text = f"{row.equipment}: {', '.join(words)}"
            faults.append(DayFault("equipment", text, bad))
    own = [name for name in dict.fromkeys(stage.equipment) if name in crew.equipment]
    if own and crew.equipment_due_on is not None:
        bad = np.array([day > crew.equipment_due_on for day in days], dtype=np.bool_)
        if bad.any():
            text = f"{', '.join(own)}: own of crew {{crews}}, service due {crew.equipment_due_on}"
            faults.append(DayFault("equipment", text, bad))
    return faults
