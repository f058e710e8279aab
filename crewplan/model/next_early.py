"""What a crew may go on to when it is done early."""

from dataclasses import dataclass
from datetime import date

from crewplan.model.job_rows import Job, Stage


@dataclass(frozen=True, slots=True)
class NextEarly:
    """Its own next working day, brought forward if the office agrees; no go for anything."""

    crew: str
    after: str
    """Its last stage of the day."""
    stage: Stage
    job: Job
    planned_on: date
    exposed: bool
    """It has work on a roof or lifts modules."""
