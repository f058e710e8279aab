"""Jobs by what they lost, and by what drove it."""

from collections.abc import Iterable

from crewplan.model.ledger import HoursLine, JobLoss, LostHours


def job_losses(lines: Iterable[HoursLine]) -> tuple[JobLoss, ...]:
    """Lines of jobs that lost hours: the dearest first, of equal ones the most hours, then by name.

    Each has its causes in the same order. Hours of people whose cost is unknown cost nothing here,
    as everywhere, so that they only break ties.
    """
    found = [JobLoss(line.name, _dearest_first(line.lost)) for line in lines if line.lost]
    found.sort(key=lambda one: one.job)
    return tuple(sorted(found, key=lambda one: (one.cost, one.hours), reverse=True))


def _dearest_first(parts: Iterable[LostHours]) -> tuple[LostHours, ...]:
    by_name = sorted(parts, key=lambda part: part.cause)
    return tuple(sorted(by_name, key=lambda part: (part.cost, part.hours), reverse=True))
