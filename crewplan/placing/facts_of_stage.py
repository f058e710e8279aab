"""What the tables say of a stage, whoever is sent: which starts they take away, and its facts."""

from collections.abc import Iterable

import numpy as np

from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.placing.blocks import blocks_of
from crewplan.placing.branch_rows import BranchRows, can_work
from crewplan.placing.breaks import Break
from crewplan.placing.keep import published_cells
from crewplan.placing.needs.allowed_days import before_notice, outside_customer_days
from crewplan.placing.needs.in_hand import not_ready
from crewplan.placing.needs.layout import layout_refused
from crewplan.placing.price import Promise, Published
from crewplan.placing.removals import Removal
from crewplan.placing.stage_facts import StageFacts, most_exposed
from crewplan.placing.stand_ins import without_any_kit
from crewplan.placing.two_parts import come_back_to


def stage_removals(rows: BranchRows, stage: Stage, job: Job) -> list[Removal]:
    """What takes starts away from the stage whoever is sent."""
    known = rows.site.known
    settings, horizon = known.branch.settings, known.horizon
    found = not_ready(known.readiness[stage.stage], horizon, settings.ready_probability)
    found += without_any_kit(known, stage.stage)
    if stage.kind == "roof" and not known.hours[stage.stage].begun:
        found += layout_refused(known.layout_problems.get(job.job, ()), horizon)
    found += outside_customer_days(job, horizon)
    going_on = stage.stage in rows.reaching
    if_published: list[Removal] = []
    if not going_on:
        text = "the half-day has begun"
        if_published.append(Removal("horizon", text, rows.site.over.copy()))
    if stage.kind == "inspection":
        notice = {row.authority: row.notice_days for row in known.branch.authorities}
        if_published += before_notice(
            settings, horizon, rows.site.today, job.authority, notice.get(job.authority, 0)
        )
    row = rows.published.get(stage.stage)
    cell = None if row is None else horizon.cell(row.start_on, row.start_half)
    if cell is not None:
        # neither the clock nor the notice takes away what was published there already
        for removal in if_published:
            removal.starts[cell] = False
    if row is not None and row.pinned and row.start_on > horizon.days[-1]:
        every = np.ones(len(horizon.cells), dtype=np.bool_)
        text = f"pinned to {row.start_on.isoformat()}, after the days planned"
        found.append(Removal("pin", text, every))
    return found + if_published


def _published(rows: BranchRows, job: Job, row: PlanRow) -> Published:
    """Where the row has the stage, and the part after it that lies in the horizon."""
    site, horizon = rows.site, rows.site.known.horizon
    later = rows.later.get(row.stage)
    back = None if later is None else horizon.cell(later.start_on, later.start_half)
    if later is None or back is None or later.crew != row.crew:
        return Published(row.crew, row.start_on, row.start_half)
    days = published_cells(
        row, lambda day: can_work(site, row.crew, job, day), until=horizon.days[-1]
    )
    away = None
    if days and days[-1] in horizon.days:
        whole = days.count(days[-1]) == 2 or (days[-1] == row.start_on and row.start_half == "pm")
        leave = 2 * horizon.days.index(days[-1]) + (2 if whole else 1)
        away = Break(leave, back) if leave < back else None
    again = None if away is None else (later.start_on, later.start_half)
    return Published(row.crew, row.start_on, row.start_half, again, away)


def facts_of(rows: BranchRows, stage: Stage, removals: Iterable[Removal]) -> StageFacts:
    """All that placing a stage asks about it; `removals` take starts away whoever is sent."""
    known = rows.site.known
    settings, horizon = known.branch.settings, known.horizon
    job, hours = rows.jobs[stage.job], known.hours[stage.stage]
    if rows.left_open(stage.stage):
        hours = come_back_to(hours)
    exposed = most_exposed(hours)
    careful = [exposed > 1 and day in horizon.frozen for day in horizon.days]
    by_day = np.where(careful, settings.gate_probability, settings.go_probability)
    free = np.ones(len(horizon.cells), dtype=np.bool_)
    for removal in removals:
        free &= ~removal.starts
    row = rows.published.get(stage.stage)
    return StageFacts(
        stage=stage,
        job=job,
        hours=hours,
        ready=known.readiness[stage.stage],
        blocks=blocks_of(hours),
        exposed=exposed,
        least=np.repeat(by_day, 2),
        open=free,
        promise=Promise(rows.site.today, job.due_on, job.priority, rows.open_stages[stage.job]),
        published=None if row is None else _published(rows, job, row),
        first_visit=known.first_visits.get(job.job) if stage.kind == "inspection" else None,
        started_by=rows.site.started.get(job.job, ""),
    )
