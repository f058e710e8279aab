"""Jobs by what they lost, and by what drove it."""

from collections.abc import Iterable

from crewplan.model.ledger import HoursLine, JobLoss


def job_losses(lines: Iterable[HoursLine]) -> tuple[JobLoss, ...]:
    """Lines of jobs that lost hours: the dearest first, of equal ones the most hours, then by name.

    Each has its causes in the same order. Hours of people whose cost is unknown cost nothing here,
    as everywhere, so that they only break ties.
    """
    found = [
        JobLoss(
            line.name,
            tuple(sorted(line.lost, key=lambda part: (-part.cost, -part.hours, part.cause))),
        )
        for line in lines
        if line.lost
    ]
    return tuple(sorted(found, key=lambda one: (-one.cost, -one.hours, one.job)))
