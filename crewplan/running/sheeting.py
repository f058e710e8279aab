"""The crew lead's sheet: one stage out of the plan, with the gate's answer for each of its days."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Protocol

from crewplan.ledger.findings import WEEKS
from crewplan.ledger.missed_parts import missed_parts
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day, zone
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.model.placement import Placement
from crewplan.model.plan import Plan
from crewplan.model.reading import Reading
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import EXPOSURES, HoursWorked
from crewplan.placing.travel import drive_h
from crewplan.publishing.crew_sheet import SheetFacts
from crewplan.running.clock import Clock
from crewplan.running.gating import site_of
from crewplan.running.measured_where import on_their_roofs
from crewplan.takeoff.marks import job_marks
from crewplan.weather import EffectiveLimits, effective_limits
from crewplan.weather.gate import day_verdicts
from crewplan.weather.readings import held_to_readings


class PlannedWeek(Protocol):
    """A plan and what it was made from: a week's, or what a board shows."""

    @property
    def branch(self) -> Branch:
        """Its tables."""

    @property
    def clock(self) -> Clock:
        """When it is asked."""

    @property
    def takeoffs(self) -> Mapping[str, JobTakeOff]:
        """By job."""

    @property
    def hours(self) -> Mapping[str, StageHours]:
        """By stage."""

    @property
    def plan(self) -> Plan:
        """Passed by the checker."""


def stages_of_day(week: PlannedWeek, day: date) -> tuple[str, ...]:
    """Stages that somebody is at on a day, by crew in the table's order, then by start."""
    horizon = week.plan.horizon
    order = {row.crew: place for place, row in enumerate(week.branch.crews)}
    placed = [
        planned.placement
        for planned in week.plan.planned
        if any(horizon.day_of(cell) == day for cell in planned.placement.cells)
    ]
    ordered = sorted(placed, key=lambda one: (order[one.crew], one.start, one.stage))
    return tuple(dict.fromkeys(one.stage for one in ordered))


def sheet_facts(
    week: PlannedWeek,
    stage: str,
    readings: Sequence[Reading] = (),
    lost: Sequence[HoursWorked] | None = None,
) -> SheetFacts:
    """All that the sheet of one stage tells.

    Args:
        week: the plan and what it was made from.
        stage: one of the branch's.
        readings: wind measured by hand on the clock's day.
        lost: hours in which something was missing; None: those of the branch's own table.
    """
    branch, plan = week.branch, week.plan
    row = next(row for row in branch.stages if row.stage == stage)
    job = next(job for job in branch.jobs if job.job == row.job)
    planned = next((p for p in plan.planned if p.placement.stage == stage), None)
    placement = planned.placement if planned is not None else None
    limits = effective_limits(branch.package_limits, branch.limits)
    told = list(_verdicts(week, row, job, placement)) if placement else []
    crew = placement.crew if placement else ""
    measured = on_their_roofs(branch, readings)
    return SheetFacts(
        branch=branch,
        stage=row,
        job=job,
        hours=week.hours[stage],
        takeoff=week.takeoffs[job.job],
        marks=job_marks(branch, week.takeoffs[job.job]),
        horizon=plan.horizon,
        planned=planned,
        unplaced=next((left for left in plan.unplaced if left.stage == stage), None),
        verdicts=tuple(
            held_to_readings(told, measured, limits, week.clock.now, branch.settings, crew)
        ),
        lift_gust_mps=_lift_gust_mps(limits),
        drive_h=_drive_h(week, job, placement) if placement else None,
        asked_at=week.clock.now.astimezone(zone(branch.settings)),
        clock=week.clock.kind,
        mark=week.clock.mark,
        standby=tuple(one for one in plan.standby if one.stage == stage),
        missed=missed_parts(
            branch,
            branch.hours_worked if lost is None else lost,
            local_day(branch.settings, week.clock.now),
        ),
        missed_weeks=WEEKS,
    )


def _verdicts(
    week: PlannedWeek, stage: Stage, job: Job, placement: Placement
) -> Iterator[DayVerdict]:
    """For each of the placement's days, and each exposure that the stage still has work in."""
    needed = {step.exposure for step in week.hours[stage.stage].steps} or set(EXPOSURES)
    exposures = tuple(exposure for exposure in EXPOSURES if exposure in needed)
    horizon = week.plan.horizon
    for day in dict.fromkeys(horizon.day_of(cell) for cell in placement.cells):
        away, crew = placement.lent_away, placement.crew
        site = site_of(week.branch, week.hours, job, stage.stage, crew, day, away)
        yield from day_verdicts(
            week.branch,
            day,
            week.clock.now,
            site=site,
            exposures=exposures,
            clock=week.clock.kind,
        )


def _lift_gust_mps(limits: EffectiveLimits) -> float | None:
    row = limits.tightest("lift", "stop").get("gust")
    return row.at_most if row is not None else None


def _drive_h(week: PlannedWeek, job: Job, placement: Placement) -> float:
    crew = next(row for row in week.branch.crews if row.crew == placement.crew)
    return drive_h(
        week.branch.settings, crew.base_latitude, crew.base_longitude, job.latitude, job.longitude
    )
