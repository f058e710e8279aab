"""Which days the office's answer looks at, and in which order stages are served from the store."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from crewplan.model.branch import Branch
from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.model.readiness import Supply

FURTHEST = timedelta(days=730)
"""Dates are not looked for later than this from today."""


def wanted_on_of(published: PlanRow | None, job: Job, today: date) -> date:
    """A stage's day: its published start, else its job's promise; today where that is past."""
    if published is not None:
        return min(max(published.start_on, today), today + FURTHEST)
    return min(max(job.due_on, job.earliest_on, today), today + FURTHEST)


def days_looked_at(
    branch: Branch, horizon: Horizon, wanted: Iterable[date], store: Supply, today: date
) -> tuple[date, ...]:
    """The horizon's days, and calendar days as far as a record, an arrival or a day wanted goes."""
    known = [today, horizon.days[-1], *wanted]
    known += [
        today + (row.granted_on - row.asked_on) for row in branch.lead_times if row.granted_on
    ]
    known += [day for rows in store.arrivals.values() for day, _ in rows]
    known += [row.granted_on for row in branch.requirements if row.granted_on]
    last = min(max(known), today + FURTHEST)
    every = [today + timedelta(days=ahead) for ahead in range((last - today).days + 1)]
    return tuple(sorted({*every, *horizon.days}))


def in_line(
    stages: Iterable[Stage], published: Mapping[str, PlanRow], jobs: Mapping[str, Job]
) -> list[Stage]:
    """Published stages by their start, then the others by promise and priority."""

    def place(stage: Stage) -> tuple[bool, date, str, int]:
        row, job = published.get(stage.stage), jobs[stage.job]
        if row is not None:
            return (False, row.start_on, row.start_half, 0)
        return (True, job.due_on, "", job.priority)

    return sorted(stages, key=place)
