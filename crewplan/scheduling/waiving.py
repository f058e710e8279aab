"""The same choices with one kind of rule waived for one stage: what would be, if not for it.

A rule of the tables is waived where it comes from: the requirement is granted, the item is in
stock, the certificate is not asked for; then placing is done anew, and only the stage's own
placements (for requirements and the customer's days all of its job's) are taken from it. A rule
between stages is waived in the rows: the stage counts in none of that rule's.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.calendar import HOUR, local_day, longest_overtime_h, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours
from crewplan.model.material_rows import Stock
from crewplan.model.people_rows import Person
from crewplan.model.placement import Choices, ReasonKind
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.waiting_rows import Requirement
from crewplan.model.weather_table import WeatherPlace, WeatherTable
from crewplan.placing import all_choices
from crewplan.readiness import Kits
from crewplan.readiness.needs import KIT, needs_of_all
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.rules import MEANING, RULES
from crewplan.scheduling.selection import assemble

_CALM = {
    "wind_mps": 1.0,
    "gust_mps": 2.0,
    "rain_mm": 0.0,
    "temperature_c": 15.0,
    "humidity_pct": 50.0,
    "thunder": 0.0,
}
_MEMBERS = 12
"""Enough that no error is put around them."""
_HELPERS = 3
_OF_THE_JOB: frozenset[ReasonKind] = frozenset({"readiness", "customer"})
"""Rules that rows about the whole job make: what waives them for one stage does so for all."""
_LATER_DAYS = 10


@dataclass(frozen=True, slots=True, eq=False)
class Asked:
    """A branch as it was planned; nothing is read anywhere else."""

    branch: Branch
    choices: Choices
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]
    now: datetime


def _only_job(branch: Branch, job: str) -> Branch:
    """The tables with the one job in them: all that its stages' placements hang on."""
    stages = tuple(row for row in branch.stages if row.job == job)
    names = {row.stage for row in stages}
    return replace(
        branch,
        jobs=tuple(row for row in branch.jobs if row.job == job),
        planes=tuple(row for row in branch.planes if row.job == job),
        stages=stages,
        plan=tuple(row for row in branch.plan if row.stage in names),
    )


def _calm(branch: Branch, now: datetime, horizon: Horizon) -> WeatherTable:
    """Good hours at the job's site, from two days before the horizon to two after it."""
    first = int((now - timedelta(days=2)).timestamp()) // 3600 * 3600
    days = (horizon.days[-1] - local_day(branch.settings, now)).days + 4
    count = days * 24
    rows = count * _MEMBERS
    job = branch.jobs[0]
    zeros = np.zeros(rows, dtype=np.int64)
    return WeatherTable(
        (WeatherPlace("", job.latitude, job.longitude),),
        tuple(str(member) for member in range(_MEMBERS)),
        zeros,
        np.repeat(np.arange(_MEMBERS), count),
        first + np.tile(np.arange(count), _MEMBERS) * int(HOUR.total_seconds()),
        np.full(rows, int(now.timestamp()), dtype=np.int64),
        np.ones(rows),
        **{name: np.full(rows, value) for name, value in _CALM.items()},
    )


def _granted(branch: Branch) -> Branch:
    kinds = {kind for one in needs_of_all(branch, branch.stages).values() for kind in one}
    stated = {row.kind for row in branch.requirements if row.job == branch.jobs[0].job}
    kinds -= set() if KIT in stated else {KIT}
    rows = (Requirement(branch.jobs[0].job, kind, "not_needed") for kind in sorted(kinds))
    return replace(branch, requirements=tuple(rows))


def _stocked(asked: Asked, branch: Branch, stage: str) -> Branch:
    kit = Kits(asked.branch, asked.takeoffs, asked.hours).of(stage)
    more = tuple(Stock(item, amount + 1.0) for item, amount in kit.items())
    held = {row.item: row.on_hand for row in branch.stock}
    added = {row.item: row.on_hand + held.get(row.item, 0.0) for row in more}
    kept = tuple(row for row in branch.stock if row.item not in added)
    return replace(branch, stock=(*kept, *(Stock(item, n) for item, n in added.items())))


def _helped(branch: Branch) -> Branch:
    """Nobody is away, and each crew has a lead and two others more; nobody needs to be lent."""
    roles = ("lead", "installer", "installer")[:_HELPERS]
    cost = max((row.cost_per_h for row in branch.people), default=0.0)
    people = tuple(
        Person(f"{crew.crew} helper {number}", crew.crew, role, cost)  # type: ignore[arg-type]
        for crew in branch.crews
        for number, role in enumerate(roles)
    )
    settings = replace(branch.settings, lending_cost_per_day=None)
    return replace(branch, settings=settings, people=(*branch.people, *people), absences=())


def _changed(asked: Asked, branch: Branch, stage: str, kind: ReasonKind) -> Branch:
    """The job's tables without one kind of rule."""

    def rows(**changes: object) -> Branch:
        return replace(
            branch,
            stages=tuple(
                replace(row, **changes) if row.stage == stage else row  # type: ignore[arg-type]
                for row in branch.stages
            ),
        )

    job = branch.jobs[0]
    match kind:
        case "readiness":
            return _granted(branch)
        case "material":
            return _stocked(asked, branch, stage)
        case "weather":
            weather = _calm(branch, asked.now, asked.choices.horizon)
            return replace(branch, weather=weather, forecast_errors=())
        case "people":
            return replace(_helped(branch), stages=rows(min_people=1).stages)
        case "certificate":
            return rows(certificates=())
        case "equipment":
            return rows(equipment=())
        case "order":
            return rows(after=(), gap_days=0)
        case "customer":
            free = replace(job, customer_days=(), earliest_on=local_day(branch.settings, asked.now))
            return replace(branch, jobs=(free,))
        case "inspections":
            return replace(
                branch, authorities=tuple(replace(r, notice_days=0) for r in branch.authorities)
            )
        case "capacity":
            near = (
                replace(row, base_latitude=job.latitude, base_longitude=job.longitude)
                for row in branch.crews
            )
            return replace(branch, crews=tuple(near))
        case "overtime":
            most_h = longest_overtime_h(branch.settings)
            return replace(branch, settings=replace(branch.settings, overtime_max_h=most_h))
        case "pin":
            return replace(branch, plan=tuple(r for r in branch.plan if r.stage != stage))
        case _:
            return branch


def _longer(asked: Asked) -> Horizon:
    held = asked.choices.horizon
    after = working_days(asked.branch.settings, held.days[-1] + timedelta(days=1), _LATER_DAYS)
    return Horizon((*held.days, *after), held.frozen)


def waived(asked: Asked, stage: str, kinds: Collection[ReasonKind]) -> Choices:
    """Choices in which these kinds keep the stage out no more, as far as tables make them."""
    choices = asked.choices
    job = next(row.job for row in choices.stages if row.stage == stage)
    branch = _only_job(asked.branch, job)
    for kind in kinds:
        branch = _changed(asked, branch, stage, kind)
    takeoffs = {job: asked.takeoffs[job]}
    if "readiness" in kinds:
        planes = tuple(replace(plane, problems=()) for plane in takeoffs[job].planes)
        takeoffs = {job: replace(takeoffs[job], planes=planes)}
    hours = {row.stage: asked.hours[row.stage] for row in branch.stages}
    horizon = _longer(asked) if "horizon" in kinds else choices.horizon
    anew = all_choices(branch, horizon, takeoffs, hours, asked.now)
    whole_job = not _OF_THE_JOB.isdisjoint(kinds)
    taken = {row.stage for row in branch.stages} if whole_job else {stage}
    own = {row.stage: row for row in anew.stages}
    return replace(
        choices,
        horizon=horizon,
        stages=tuple(
            replace(own[row.stage], unplaced_cost=row.unplaced_cost) if row.stage in taken else row
            for row in choices.stages
        ),
        placements=(
            *(p for p in choices.placements if p.stage not in taken),
            *(p for p in anew.placements if p.stage in taken),
        ),
    )


def problem_without(whole: Problem, stage: str, kinds: Collection[ReasonKind]) -> Problem:
    """The problem in which the stage's placements count in no row of these kinds."""
    names = {rule.name for rule in RULES if rule.kind in kinds} - MEANING
    if not names:
        return whole
    own = np.zeros(len(whole.held), dtype=np.bool_)
    own[whole.held.of_stage[stage]] = True
    rows = tuple(
        replace(row, columns=row.columns[keep], factors=row.factors[keep])
        for row in whole.rows
        for keep in [~own[row.columns] | (row.factors < 0) | (row.rule not in names)]
    )
    selection = assemble(whole.selection.cost, rows, whole.selection.constant)
    return replace(whole, rows=rows, selection=selection)
