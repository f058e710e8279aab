"""All stages with every crew at every start: the scheduler's choices, and why some are missing."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from crewplan.model.calendar import is_working_day, next_working_day
from crewplan.model.job_rows import Job, Stage
from crewplan.model.placement import Choices, Keep, Lending, Placement, Reason, StageToPlace
from crewplan.model.plan_row import PlanRow
from crewplan.placing.blocks import blocks_of
from crewplan.placing.breaks import Break
from crewplan.placing.crew_choices import (
    CrewChoices,
    Fitted,
    StageFacts,
    fit_line,
    most_exposed,
)
from crewplan.placing.crew_days import there_on
from crewplan.placing.fill_parts import fill_parts
from crewplan.placing.keep import current_rows, keep, published_cells, row_after
from crewplan.placing.lent_as_published import LentThen, lent_then
from crewplan.placing.lent_choices import Offered, lent_choices
from crewplan.placing.memory import Memory
from crewplan.placing.nearest import by_nearness, most_crews
from crewplan.placing.nearest import told as few_crews_told
from crewplan.placing.needs.allowed_days import (
    before_notice,
    begun,
    customer_allows,
    outside_customer_days,
)
from crewplan.placing.needs.in_hand import not_ready
from crewplan.placing.needs.layout import layout_refused
from crewplan.placing.overtime import fill_overtime
from crewplan.placing.price import Promise, Published, open_cost, price_of_later
from crewplan.placing.prices import cents
from crewplan.placing.removals import Removal, breakers, decisive, reasons
from crewplan.placing.shared_drives import shared_drives
from crewplan.placing.site import Known, Sites, sites
from crewplan.placing.stand_ins import with_stand_ins, without_any_kit
from crewplan.placing.two_parts import come_back_to

IN_HAND = ("granted", "not_needed")
MAY_COME_BACK = 12
"""Of the crews that may do a stage so many, the nearest, may leave it open and come back: the ways
to do that are many, and each costs the drive again."""
LATER_HALF_DAYS = 10
"""A begun stage that is left for later stays open so much longer: the working days of the week by
which a stage is priced later."""


@dataclass(frozen=True, slots=True, eq=False)
class _Index:
    """The branch's rows by their keys."""

    site: Sites
    jobs: dict[str, Job]
    open_stages: dict[str, int]
    """By job: stages that are not done."""
    rows: dict[str, PlanRow]
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

    memory: Memory
    """What the last look found."""
    most_crews: int
    """That a stage is offered to."""


def _can_work(site: Sites, crew: str, job: Job, day: date) -> bool:
    branch = site.known.branch
    people = tuple(person for person in branch.people if person.crew == crew)
    return (
        is_working_day(branch.settings, day)
        and customer_allows(job.customer_days, day)
        and bool(there_on(people, branch.absences, day))
    )


def _index(known: Known, memory: Memory) -> _Index:
    site = sites(known)
    branch, first_day = known.branch, known.horizon.days[0]
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}

    def reaches(row: PlanRow) -> bool:
        job = job_of[row.stage]
        cells = published_cells(
            row, lambda day: _can_work(site, row.crew, job, day), until=first_day
        )
        # looked at up to the horizon's first day only: what is left over lies in the horizon
        return row.start_on < first_day and (len(cells) < row.half_days or cells[-1] >= first_day)

    rows = current_rows(branch.plan, reaches, first_day)
    open_stages: dict[str, int] = {}
    for stage in branch.stages:
        if not known.hours[stage.stage].done:
            open_stages[stage.job] = open_stages.get(stage.job, 0) + 1
    reaching = frozenset(stage for stage, row in rows.items() if reaches(row))
    memory.look(site)
    most = most_crews(sum(open_stages.values()), len(branch.crews))
    later = {stage: part for stage, row in rows.items() if (part := row_after(branch.plan, row))}
    worked_on: dict[str, date] = {}
    for done in branch.progress:
        if done.day <= site.today and done.share_done > 0:
            worked_on[done.stage] = max(done.day, worked_on.get(done.stage, done.day))
    return _Index(
        site, jobs, open_stages, rows, reaching, later, worked_on, memory=memory, most_crews=most
    )


def _stage_removals(index: _Index, stage: Stage, job: Job) -> list[Removal]:
    """What takes starts away from the stage whoever is sent."""
    known = index.site.known
    settings, horizon = known.branch.settings, known.horizon
    found = not_ready(known.readiness[stage.stage], horizon, settings.ready_probability)
    found += without_any_kit(known, stage.stage)
    if stage.kind == "roof" and not known.hours[stage.stage].begun:
        found += layout_refused(known.layout_problems.get(job.job, ()), horizon)
    found += outside_customer_days(job, horizon)
    going_on = stage.stage in index.reaching
    if_published: list[Removal] = [] if going_on else begun(settings, horizon, known.now)
    if stage.kind == "inspection":
        notice = {row.authority: row.notice_days for row in known.branch.authorities}
        if_published += before_notice(
            settings, horizon, index.site.today, job.authority, notice.get(job.authority, 0)
        )
    row = index.rows.get(stage.stage)
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


def _published(index: _Index, job: Job, row: PlanRow) -> Published:
    """Where the row has the stage, and the part after it that lies in the horizon."""
    site, horizon = index.site, index.site.known.horizon
    later = index.later.get(row.stage)
    back = None if later is None else horizon.cell(later.start_on, later.start_half)
    if later is None or back is None or later.crew != row.crew:
        return Published(row.crew, row.start_on, row.start_half)
    days = published_cells(
        row, lambda day: _can_work(site, row.crew, job, day), until=horizon.days[-1]
    )
    away = None
    if days and days[-1] in horizon.days:
        whole = days.count(days[-1]) == 2 or (days[-1] == row.start_on and row.start_half == "pm")
        leave = 2 * horizon.days.index(days[-1]) + (2 if whole else 1)
        away = Break(leave, back) if leave < back else None
    again = None if away is None else (later.start_on, later.start_half)
    return Published(row.crew, row.start_on, row.start_half, again, away)


def _facts(index: _Index, stage: Stage, removals: Iterable[Removal]) -> StageFacts:
    known = index.site.known
    settings, horizon = known.branch.settings, known.horizon
    job, hours = index.jobs[stage.job], known.hours[stage.stage]
    if index.left_open(stage.stage):
        hours = come_back_to(hours)
    exposed = most_exposed(hours)
    careful = [exposed > 1 and day in horizon.frozen for day in horizon.days]
    by_day = np.where(careful, settings.gate_probability, settings.go_probability)
    free = np.ones(len(horizon.cells), dtype=np.bool_)
    for removal in removals:
        free &= ~removal.starts
    row = index.rows.get(stage.stage)
    return StageFacts(
        stage=stage,
        job=job,
        hours=hours,
        ready=known.readiness[stage.stage],
        blocks=blocks_of(hours),
        exposed=exposed,
        least=np.repeat(by_day, 2),
        open=free,
        promise=Promise(index.site.today, job.due_on, job.priority, index.open_stages[stage.job]),
        published=None if row is None else _published(index, job, row),
        first_visit=known.first_visits.get(job.job) if stage.kind == "inspection" else None,
        started_by=index.site.started.get(job.job, ""),
    )


def _every_crew(index: _Index, facts: StageFacts) -> list[CrewChoices]:
    """The stage with each crew that it is offered to; crews of one time line share one walk."""
    site, memory = index.site, index.memory
    fitted: dict[tuple[int, bool], Fitted] = {}
    found: dict[str, CrewChoices] = {}
    told = memory.of(site, facts)
    published = None if facts.published is None else facts.published.crew
    able = 0
    for crew in by_nearness(site, facts.job):
        if able >= index.most_crews and crew.name != published:
            continue
        in_one_go = able >= MAY_COME_BACK and crew.name != published
        known_by = told + bytes([in_one_go])
        choices = memory.recall(known_by, facts, crew)
        if choices is None:
            choices = CrewChoices(site, facts, crew)
            faults, good = choices.admissible()
            if good.any():
                key = id(choices.line), in_one_go
                if key not in fitted:
                    fitted[key] = fit_line(site, facts, choices.line, in_one_go=in_one_go)
                choices.fill(fitted[key], faults, good)
                fill_parts(choices, fitted[key], faults, good)
                if choices.overtime:
                    late = id(choices.late_line), True
                    if late not in fitted:
                        fitted[late] = fit_line(site, facts, choices.late_line, in_one_go=True)
                    fill_overtime(choices, fitted[key], fitted[late], faults, good)
            memory.keep(known_by, facts, choices)
        found[crew.name] = choices
        able += bool(choices.placements)
    return [found[crew.name] for crew in site.crews if crew.name in found]


def _kept(
    index: _Index,
    stage: Stage,
    crews: Sequence[CrewChoices],
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
) -> tuple[Keep | None, Reason | None]:
    """What the published plan holds, or the reason for which it cannot stay there."""
    horizon = index.site.known.horizon
    row = index.rows.get(stage.stage)
    if row is None:
        return None, None
    own = next((choices for choices in crews if choices.crew.name == row.crew), None)
    cells = () if own is None else own.line.cells
    wanted = keep(row, stage.stage in index.reaching, cells, horizon, index.later.get(stage.stage))
    where = f"published with crew {row.crew} on {row.start_on.isoformat()} {row.start_half}"
    if own is None or wanted is None:
        lost = row.pinned and horizon.days[0] <= row.start_on <= horizon.days[-1]
        text = f"{where}, a day off"
        return None, Reason("pin", text, row.start_on, row.start_on) if lost else None
    there = [p for p in own.placements if p.start == wanted.start]
    if wanted.again is not None and not any(wanted.again in p.part_starts[1:] for p in there):
        day = horizon.day_of(wanted.again)
        text = f"its second part was published for {day.isoformat()}: it does not fit there now"
        return (replace(wanted, again=None) if there else None), Reason("pin", text, day, day)
    held = then.held(row, wanted, [*own.placements, *(p for p in lent if p.crew == row.crew)])
    if held is not None:
        return held
    broken = breakers([*removals, *own.removals], row.crew, wanted.start)
    day = horizon.day_of(wanted.start)
    text = f"{where}: {broken or 'the customer does not allow the day'}"
    return None, Reason("pin", text, day, day)


def _why(
    removals: list[Removal], placements: list[Placement], broken: Reason | None, known: Known
) -> tuple[Reason, ...]:
    if placements:
        # that late starts do not fit any more says nothing where earlier ones do
        told = [removal for removal in removals if removal.kind != "horizon"]
    else:
        told = decisive(removals, [crew.crew for crew in known.branch.crews])
    found = reasons(told, known.horizon)
    return (broken, *found) if broken is not None else found


def _not_over(
    index: _Index, stage: Stage, placements: list[Placement], held: Keep | None
) -> list[Placement]:
    """Without starts in half-days that have begun, but for who is published there."""
    known, row = index.site.known, index.rows.get(stage.stage)
    over = np.logical_or.reduce(
        [r.starts for r in begun(known.branch.settings, known.horizon, known.now)]
    )
    there: list[tuple[str, int | None]] = []
    if held is not None:
        there.append((held.crew, held.start))
    if row is not None:
        there.append((row.crew, known.horizon.cell(row.start_on, row.start_half)))
    return [p for p in placements if not over[p.start] or (p.crew, p.start) in there]


def _left_open_by(index: _Index, stage: Stage) -> str:
    """The crew that has begun the stage and is elsewhere now, by the published plan."""
    row = index.rows.get(stage.stage)
    return row.crew if row is not None and index.left_open(stage.stage) else ""


def _offered(index: _Index, stage: Stage) -> tuple[Offered, list[Removal]]:
    """What each crew could do by itself, and what keeps the stage out whoever is sent."""
    removals = _stage_removals(index, stage, index.jobs[stage.job])
    facts = _facts(index, stage, removals)
    return Offered(facts, tuple(_every_crew(index, facts))), removals


def _stage(
    index: _Index,
    offered: Offered,
    removals: list[Removal],
    lent: Sequence[Placement],
    then: LentThen,
) -> tuple[StageToPlace, list[Placement]]:
    facts, crews = offered.facts, offered.crews
    stage, job = facts.stage, facts.job
    known = index.site.known
    horizon = known.horizon
    placements = [placement for choices in crews for placement in choices.placements]
    held, broken = _kept(index, stage, crews, removals, lent, then)
    # what people who are lent could cost more has no part in the price of leaving it
    later = price_of_later(
        (p.cost for p in placements),
        horizon.days[-1],
        facts.promise,
        facts.published,
        open_cost(known.branch.settings, len(horizon.cells) + LATER_HALF_DAYS)
        if facts.hours.begun
        else 0.0,
    )
    placements = _not_over(index, stage, [*placements, *lent], held)
    placements = with_stand_ins(known, stage.stage, placements)
    of_crews = [removal for choices in crews for removal in choices.removals]
    to_place = StageToPlace(
        stage=stage.stage,
        job=stage.job,
        kind=stage.kind,
        authority=job.authority,
        due_on=job.due_on,
        priority=job.priority,
        after=tuple(name for name in stage.after if not known.hours[name].done),
        gap_days=stage.gap_days,
        kit=dict(known.kits.get(stage.stage, {})) if known.supply.judged else {},
        shared_equipment={
            choices.crew.name: choices.borrowed for choices in crews if choices.borrowed
        },
        unplaced_cost=later,
        keep=held,
        published=facts.published is not None and facts.published.start_on <= horizon.days[-1],
        promised=job.due_on <= horizon.days[-1],
        reasons=_why(removals + of_crews, placements, broken, known),
        awaited=tuple(n.kind for n in facts.ready.states if n.state not in IN_HAND),
        calls=facts.ready.calls,
        left_open_by=_left_open_by(index, stage),
    )
    return to_place, placements


def choices_of(known: Known, memory: Memory | None = None) -> Choices:
    """Every placement that is possible, stage by stage in the table's order.

    A horizon without days has nothing to choose from and is not asked for (ValueError). `memory`
    is of the last look at nearly the same branch, and of this one afterwards.
    """
    if not known.horizon.days:
        raise ValueError("a horizon has at least one day")
    index = _index(known, memory or Memory())
    branch = known.branch
    stages: list[StageToPlace] = []
    placements: list[Placement] = []
    done = [stage.stage for stage in branch.stages if known.hours[stage.stage].done]
    offers = [_offered(index, stage) for stage in branch.stages if stage.stage not in set(done)]
    per_day = branch.settings.lending_cost_per_day
    lent = (
        {} if per_day is None else lent_choices(index.site, [one for one, _ in offers], index.rows)
    )
    then = lent_then(branch, index.rows, known.horizon)
    for offered, removals in offers:
        own = lent.get(offered.facts.stage.stage, ())
        to_place, possible = _stage(index, offered, removals, own, then)
        stages.append(to_place)
        placements += possible
    placements += list(shared_drives(index.site, index.jobs, stages, placements))
    limits = {row.authority: row.inspections_per_day for row in branch.authorities}
    return Choices(
        horizon=known.horizon,
        crews=tuple(crew.crew for crew in branch.crews),
        stages=tuple(stages),
        placements=tuple(placements),
        done=tuple(sorted((*done, *branch.finished))),
        half_day_h=(index.site.shifts[0].am_h, index.site.shifts[0].pm_h),
        equipment={row.equipment: row.quantity for row in branch.equipment},
        inspections_per_day={name: n for name, n in limits.items() if n is not None},
        on_hand=dict(known.supply.on_hand),
        arrivals=dict(known.supply.arrivals),
        material_judged=known.supply.judged,
        lending=None
        if per_day is None
        else Lending(cents(per_day), {person.person: person.crew for person in branch.people}),
        open_jobs_max=branch.settings.open_jobs_max,
        uneven_cents_a_minute=round(cents(branch.settings.uneven_hour_cost) / 60),
        even_crews=tuple(dict.fromkeys(placement.crew for placement in placements)),
        notes=(
            *known.supply.notes,
            *index.site.notes(),
            *few_crews_told(len(stages), len(branch.crews)),
        ),
    )
