"""Standby for crews' visits of one day by the published plan; nothing is planned anew for it."""

from collections.abc import Mapping
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.placement import Choices, Placement
from crewplan.model.standby import AtRisk, Standby
from crewplan.model.takeoff import JobTakeOff
from crewplan.placing import all_choices
from crewplan.running.clock import Clock
from crewplan.running.published import published_halves
from crewplan.running.week import horizon_of
from crewplan.scheduling.standby import standby

_DAYS = 10
"""Working days within which a stage that the plan has later may be brought forward."""


def _risks(
    branch: Branch, choices: Choices, hours: Mapping[str, StageHours], day: date
) -> list[AtRisk]:
    """Published visits with roof or lift work; the chance is 0 where no rule would let it start."""
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: stage.job for stage in branch.stages}
    found = []
    for row in branch.plan:
        if hours[row.stage].done or not hours[row.stage].exposed:
            continue
        halves = published_halves(branch, row, jobs[job_of[row.stage]], day)
        cells = tuple(choices.horizon.days.index(day) * 2 + (half == "pm") for half in halves)
        chances = [
            p.p_go
            for p in choices.placements
            if (p.stage, p.crew) == (row.stage, row.crew) and p.start in cells
        ]
        if cells:
            chance = max(chances, default=0.0)
            first = row.start_on == day
            found.append(AtRisk(row.crew, row.stage, job_of[row.stage], cells, chance, first))
    return found


def _taken(branch: Branch, choices: Choices) -> dict[str, Placement]:
    """By stage: the placement that is published, in as many parts where it is still offered so.

    Of several ways to be there the first is the plain one: its own drives, no overtime.
    """
    starts: dict[tuple[str, str], tuple[int, ...]] = {}
    for row in sorted(branch.plan, key=lambda row: (row.stage, row.part)):
        cell = choices.horizon.cell(row.start_on, row.start_half)
        if cell is not None:
            key = row.stage, row.crew
            starts[key] = (*starts.get(key, ()), cell)
    taken: dict[str, Placement] = {}
    for p in choices.placements:
        published = starts.get((p.stage, p.crew), ())
        as_published = bool(p.parts) and p.part_starts == published
        if p.start in published[:1] and (p.stage not in taken or as_published):
            taken[p.stage] = p
    return taken


def published_standby(
    branch: Branch,
    clock: Clock,
    day: date,
    takeoffs: Mapping[str, JobTakeOff],
    hours: Mapping[str, StageHours],
) -> tuple[Standby, ...]:
    """For each visit of the day that has roof or lift work; empty on a day off."""
    horizon = horizon_of(branch, clock, day, _DAYS)
    if not branch.plan or horizon.days[0] != day:
        return ()
    choices = all_choices(branch, horizon, takeoffs, hours, clock.now)
    rows = {row.stage: row for row in reversed(branch.plan) if not hours[row.stage].done}
    taken = _taken(branch, choices)
    spoken_for = {row.stage: row.crew for row in rows.values()}
    risks = _risks(branch, choices, hours, day)
    return standby(branch, choices, tuple(taken.values()), spoken_for, risks, hours)
