"""Where a crew goes on when it is done early: to its own next working day, where nobody minds.

Its visits of the next working day are its own already, and what is begun on one is gone on with
then, so that no set-up is paid twice. A customer who was told a day gets it, unless the job is
begun or late.
"""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.placing.needs.allowed_days import customer_allows


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """What is known of stages on the evening before."""

    stages: Mapping[str, Stage]
    jobs: Mapping[str, Job]
    not_done: Collection[str]
    """Stages with work left."""
    begun: Collection[str]
    """Stages that somebody has worked on."""


def on_the_way(branch: Branch, hours: Mapping[str, StageHours]) -> OnTheWay:
    """As a branch's tables have it; hours by stage."""
    stages = {stage.stage: stage for stage in branch.stages}
    return OnTheWay(
        stages,
        {job.job: job for job in branch.jobs},
        {stage for stage, left in hours.items() if not left.done},
        {row.stage for row in branch.progress if row.share_done > 0 and row.stage in stages},
    )


def next_when_early(
    known: OnTheWay,
    rows: Iterable[PlanRow],
    day: date,
    next_day: date,
    visited: Mapping[str, Collection[str]],
    fair: Callable[[str], bool],
) -> dict[str, tuple[str, ...]]:
    """By crew that goes out on a day: stages that it may go on to, in the plan's order.

    It is where to ask, and no go: a roof there needs one of its own.

    Args:
        known: of all stages in the rows.
        rows: of the plan that stands.
        day: that is told.
        next_day: the working day after it.
        visited: by crew: the day's stages that it does not leave open. A stage may follow one of
            its own crew's, since a crew goes on only from what is done.
        fair: whether the day's weather is likely to let a stage's work be done.
    """
    today = {stage for of_crew in visited.values() for stage in of_crew}
    begun_jobs = {known.stages[stage].job for stage in (*known.begun, *today)}
    found: dict[str, list[str]] = {crew: [] for crew, of_crew in visited.items() if of_crew}
    tomorrow = (row for row in rows if row.start_on == next_day and row.part == 1)
    for row in sorted(tomorrow, key=lambda row: row.start_half != "am"):
        stage = known.stages[row.stage]
        job = known.jobs[stage.job]
        if row.crew not in found or stage.stage in today:
            continue
        welcome = job.job in begun_jobs or job.due_on <= next_day
        before = {one for one in stage.after if one in known.not_done}
        if (
            welcome
            and fair(stage.stage)
            and _may_come(stage, job, day, stage.stage in known.begun)
            and before <= {*visited[row.crew], *found[row.crew]}
        ):
            found[row.crew].append(stage.stage)
    return {crew: tuple(of_crew) for crew, of_crew in found.items()}


def _may_come(stage: Stage, job: Job, day: date, begun: bool) -> bool:
    """Whether what was made for a day may be a day earlier; an inspector's appointment may not."""
    if stage.kind == "inspection" or (stage.gap_days and not begun):
        return False
    return job.earliest_on <= day and customer_allows(job.customer_days, day)
