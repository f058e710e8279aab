"""The branch's rows by their keys, as placing looks them up for each stage."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.calendar import is_working_day, next_working_day
from crewplan.model.job_rows import Job
from crewplan.model.plan_row import PlanRow
from crewplan.placing.crew_days import there_on
from crewplan.placing.keep import current_rows, published_cells, row_after
from crewplan.placing.needs.allowed_days import customer_allows
from crewplan.placing.site import Known, Sites, sites


@dataclass(frozen=True, slots=True, eq=False)
class BranchRows:
    """The branch's rows by their keys."""

    site: Sites
    jobs: dict[str, Job]
    open_stages: dict[str, int]
    """By job: stages that are not done."""
    published: dict[str, PlanRow]
    """By stage: the part of the published plan that is next."""
    reaching: frozenset[str]
    """Stages whose row began before the horizon and reaches into it."""
    later: Mapping[str, PlanRow]
    """By stage: the row of the part after the next one."""
    worked_on: Mapping[str, date]
    """By stage: the last day of its progress."""

    def left_open(self, stage: str) -> bool:
        """Whether a begun stage was left: its row is over, and nobody was there just before."""
        known = self.site.known
        if not known.hours[stage].begun or stage in self.reaching:
            return False
        worked_on = self.worked_on.get(stage)
        return (
            worked_on is None
            or next_working_day(known.branch.settings, worked_on) < known.horizon.days[0]
        )

    def left_open_by(self, stage: str) -> str:
        """The crew that has begun the stage and is elsewhere now, by the published plan."""
        row = self.published.get(stage)
        return row.crew if row is not None and self.left_open(stage) else ""


def can_work(site: Sites, crew: str, job: Job, day: date) -> bool:
    """Whether anybody of the crew may be at the job on the day."""
    branch = site.known.branch
    people = tuple(person for person in branch.people if person.crew == crew)
    return (
        is_working_day(branch.settings, day)
        and customer_allows(job.customer_days, day)
        and bool(there_on(people, branch.absences, day))
    )


def branch_rows(known: Known) -> BranchRows:
    """Look all of them up once, and lay out the horizon's hours and crews."""
    site = sites(known)
    branch, first_day = known.branch, known.horizon.days[0]
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}

    def reaches(row: PlanRow) -> bool:
        job = job_of[row.stage]
        cells = published_cells(
            row, lambda day: can_work(site, row.crew, job, day), until=first_day
        )
        # looked at up to the horizon's first day only: what is left over lies in the horizon
        return row.start_on < first_day and (len(cells) < row.half_days or cells[-1] >= first_day)

    rows = current_rows(branch.plan, reaches, first_day)
    open_stages: dict[str, int] = {}
    for stage in branch.stages:
        if not known.hours[stage.stage].done:
            open_stages[stage.job] = open_stages.get(stage.job, 0) + 1
    reaching = frozenset(stage for stage, row in rows.items() if reaches(row))
    later = {stage: part for stage, row in rows.items() if (part := row_after(branch.plan, row))}
    worked_on: dict[str, date] = {}
    for done in branch.progress:
        if done.day <= site.today and done.share_done > 0:
            worked_on[done.stage] = max(done.day, worked_on.get(done.stage, done.day))
    return BranchRows(site, jobs, open_stages, rows, reaching, later, worked_on)
