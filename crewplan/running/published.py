"""Where the published plan has a crew on a day."""

from datetime import date, timedelta

from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day
from crewplan.model.job_rows import Job
from crewplan.model.plan_row import Half, PlanRow
from crewplan.placing.crew_days import there_on
from crewplan.placing.keep import published_cells, row_after
from crewplan.placing.needs.allowed_days import customer_allows

_LONGEST = timedelta(days=366)
"""A published row is looked at no longer than this after its start."""


def _days_of_halves(branch: Branch, row: PlanRow, job: Job | None) -> list[date]:
    """The day of each of the row's half-days: those that the branch, crew and customer work."""
    crew = tuple(person for person in branch.people if person.crew == row.crew)

    def can_work(day: date) -> bool:
        return (
            is_working_day(branch.settings, day)
            and (job is None or customer_allows(job.customer_days, day))
            and bool(there_on(crew, branch.absences, day))
        )

    return published_cells(row, can_work, row.start_on + _LONGEST)


def published_days(branch: Branch, row: PlanRow, job: Job | None) -> tuple[date, ...]:
    """Days on which the row's half-days lie, each once; no job: any day suits its customer."""
    return tuple(dict.fromkeys(_days_of_halves(branch, row, job)))


def published_halves(branch: Branch, row: PlanRow, job: Job | None, day: date) -> tuple[Half, ...]:
    """Which halves of one day are the row's."""
    count = _days_of_halves(branch, row, job).count(day)
    if count == 0:
        return ()
    if count == 2:
        return ("am", "pm")
    return ("pm",) if (day, row.start_half) == (row.start_on, "pm") else ("am",)


def published_on(branch: Branch, crew: str, day: date) -> tuple[PlanRow, ...]:
    """Rows of the published plan that have the crew on a site that day, by start."""
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}
    rows = [
        row
        for row in branch.plan
        if row.crew == crew
        and row.start_on <= day
        and day in published_days(branch, row, job_of[row.stage])
    ]
    return tuple(sorted(rows, key=lambda row: (row.start_on, row.start_half)))


def left_until(branch: Branch, crew: str, stage: str, day: date) -> date | None:
    """When the crew is back, where the published plan has it leave the stage open that evening."""
    row = next((row for row in published_on(branch, crew, day) if row.stage == stage), None)
    later = None if row is None else row_after(branch.plan, row)
    if row is None or later is None:
        return None
    job_of = {one.stage: one.job for one in branch.stages}
    job = next(one for one in branch.jobs if one.job == job_of[stage])
    return later.start_on if published_days(branch, row, job)[-1] == day else None
