"""Equipment: the crew's own, else shared, else the crew cannot go."""

import numpy as np

from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import Stage
from crewplan.model.people_rows import Crew
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
