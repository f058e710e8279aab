"""How likely a first inspection fails with an authority, and what putting it right takes."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.labour.job_hours import EACH_STAGE
from crewplan.model.branch import Branch
from crewplan.model.waiting_rows import Inspection
from crewplan.readiness.chances import NO_RECORD

POOL_INSPECTIONS = 5.0
"""An authority with so many first inspections counts half, all authorities the other half. Assumed.
"""


@dataclass(frozen=True, slots=True)
class FirstVisit:
    """What the record says of one job's next inspection."""

    p_fail: float
    """0 without a record, and where the job was inspected before."""
    return_h: float
    """Person-hours of work that putting a failed one right takes; no drive, no second inspection.
    """
    note: str


def _first_of_jobs(rows: Iterable[Inspection], today: date) -> list[Inspection]:
    """The earliest of each job; a row without a job stands for one of its own."""
    first: dict[str, Inspection] = {}
    alone: list[Inspection] = []
    for row in rows:
        if row.inspected_on > today:
            continue
        if not row.job:
            alone.append(row)
        elif row.job not in first or row.inspected_on < first[row.job].inspected_on:
            first[row.job] = row
    return [*first.values(), *alone]


def _shrunk(own: list[float], every: list[float]) -> float:
    """n / (n + k) of an authority's own mean, the rest of all authorities'."""
    pool = sum(every) / len(every)
    weight = len(own) / (len(own) + POOL_INSPECTIONS)
    return pool if not own else weight * sum(own) / len(own) + (1 - weight) * pool


def _usual_return_h(branch: Branch) -> float:
    """Hours of the table for a return stage of any size, where no row tells what one took."""
    steps = {row.step for row in branch.steps if row.kind == "return"}
    rates = (row for row in branch.rates if row.step in steps and row.driver in EACH_STAGE)
    return sum(row.hours_per_unit for row in rates)


def first_visits(branch: Branch, today: date) -> Mapping[str, FirstVisit]:
    """By job: the chance that its inspection fails, if it is its first.

    The share of first inspections that failed, of its authority and of all; the same for the hours.
    """
    record = _first_of_jobs(branch.inspections, today)
    seen = {row.job for row in branch.inspections if row.job and row.inspected_on <= today}
    failed = [(row.authority, float(not row.passed)) for row in record]
    hours = [
        (row.authority, row.return_h)
        for row in record
        if not row.passed and row.return_h is not None
    ]
    usual_h = _usual_return_h(branch)
    by_authority: dict[str, FirstVisit] = {}
    for authority in {job.authority for job in branch.jobs}:
        own = [share for name, share in failed if name == authority]
        own_h = [taken for name, taken in hours if name == authority]
        by_authority[authority] = (
            FirstVisit(
                _shrunk(own, [share for _, share in failed]),
                _shrunk(own_h, [taken for _, taken in hours]) if hours else usual_h,
                f"{int(sum(own))} of its {len(own)} first inspections failed",
            )
            if failed
            else FirstVisit(0.0, usual_h, NO_RECORD)
        )
    again = FirstVisit(0.0, usual_h, "inspected before")
    return {
        job.job: again if job.job in seen else by_authority[job.authority] for job in branch.jobs
    }
