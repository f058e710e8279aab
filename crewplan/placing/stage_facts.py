"""One stage, with all that does not depend on the crew."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.model.readiness import StageReadiness
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing.blocks import Block
from crewplan.placing.price import Promise, Published
from crewplan.placing.walk import Floats
from crewplan.readiness.first_visit import FirstVisit


@dataclass(frozen=True, slots=True, eq=False)
class StageFacts:
    """One stage, with all that does not depend on the crew."""

    stage: Stage
    job: Job
    hours: StageHours
    ready: StageReadiness
    blocks: tuple[Block, ...]
    exposed: int
    """Most exposed step: 1 ground, 2 roof, 3 lift."""
    least: Floats
    """By half-day of the horizon: least P(go) and P(finish) of a placement that starts there."""
    open: NDArray[np.bool_]
    """Half-days that no rule about the stage takes away as a start."""
    promise: Promise
    published: Published | None
    first_visit: FirstVisit | None
    """Of an inspection: what the record says; None: of no inspection, or nothing is told."""
    started_by: str = ""
    """The crew that started the job, where staying with it has a price; empty: nobody."""


def most_exposed(hours: StageHours) -> int:
    """1 ground, 2 roof, 3 lift."""
    return 1 + max((EXPOSURES.index(step.exposure) for step in hours.steps), default=0)
