"""Which crews a stage is offered to: all of them, or in a large region the nearest that may.

Far crews do a stage at the price of the drive, and nearly never in the best plan; but each makes
twenty columns of the problem, and a hundred crews with eight hundred stages would be a million.
"""

from crewplan.model.job_rows import Job
from crewplan.placing.crew_days import CrewDays
from crewplan.placing.site import Sites

PAIRS = 10_000
"""Stages times crews up to which every crew is asked: 40 crews with 240 stages."""
LEAST = 12
"""Crews that each stage is offered to in any case, where so many may."""


def most_crews(stages: int, crews: int) -> int:
    """How many crews each of so many open stages is offered to."""
    if stages * crews <= PAIRS:
        return crews
    return min(crews, max(LEAST, PAIRS // stages))


def by_nearness(site: Sites, job: Job) -> list[CrewDays]:
    """All crews, the nearest first; those equally near in the table's order."""
    return sorted(site.crews, key=lambda crew: site.drive_h(crew, job))


def told(stages: int, crews: int) -> tuple[str, ...]:
    """What a plan says of it; nothing where every crew was asked."""
    most = most_crews(stages, crews)
    if most >= crews:
        return ()
    return (
        f"each stage was offered to the {most} nearest crews that may do it, of {crews}; "
        "the proven bound is among those",
    )
