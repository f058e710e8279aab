"""Whom the published plan lends to which crew, and what another plan changes in that."""

from collections.abc import Collection
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.lent import LentChange, LentDay
from crewplan.model.plan import Plan
from crewplan.running.published import published_days, published_on
from crewplan.scheduling.lent_days import lent_changes, lent_days


def published_lent(branch: Branch, days: Collection[date]) -> tuple[LentDay, ...]:
    """One a person, day and crew that they go with, by day, person and crew."""
    rows = [row for row in branch.plan if row.lent]
    if not rows:
        return ()
    home = {person.person: person.crew for person in branch.people}
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}
    stages: dict[tuple[date, str, str], list[str]] = {}
    for row in rows:
        for day in published_days(branch, row, job_of.get(row.stage)):
            if day in days:
                for person in row.lent:
                    stages.setdefault((day, person, row.crew), []).append(row.stage)
    return tuple(
        LentDay(
            day,
            person,
            home.get(person, ""),
            crew,
            tuple(names),
            tuple(row.stage for row in published_on(branch, home.get(person, ""), day)),
        )
        for (day, person, crew), names in sorted(stages.items())
    )


def lent_since_published(branch: Branch, plan: Plan) -> tuple[LentChange, ...]:
    """People who are with another crew than published on a day of the plan, by day and person.

    What is done is no change: whoever was lent for it stays at home, and knows that.
    """
    before = (
        one
        for one in published_lent(branch, frozenset(plan.horizon.days))
        if not set(one.stages) <= set(plan.done)
    )
    return lent_changes(before, lent_days(branch.people, plan))
