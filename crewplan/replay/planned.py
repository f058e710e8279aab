"""This program, as its users run it: planned anew each evening, and published."""

from crewplan.model.calendar import frozen_days, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.parts import planned_parts
from crewplan.model.plan import Plan, Planned
from crewplan.model.plan_row import PlanRow
from crewplan.placing import all_choices
from crewplan.replay.morning import Morning, Orders
from crewplan.scheduling import Stop, refuse_broken, schedule

DAYS = 10
_STOP = Stop(seconds=None, gap=0.01, steps=10)
"""By work, not by the clock: the same answer on every machine."""


def plan_of(morning: Morning) -> Plan:
    """The next ten working days.

    Raises:
        PlanRejected: where the checker does not pass the plan.
    """
    settings = morning.branch.settings
    horizon = Horizon(working_days(settings, morning.day, DAYS), frozen_days(settings, morning.now))
    choices = all_choices(morning.branch, horizon, morning.takeoffs, morning.hours, morning.now)
    plan = schedule(choices, stop=_STOP)
    refuse_broken(morning.branch, choices, plan, morning.now)
    return plan


def planned(morning: Morning) -> Orders:
    """Tomorrow's placements; a crew that is done early goes on with the same job, nowhere else."""
    plan = plan_of(morning)
    ordered = sorted(plan.planned, key=lambda one: one.placement.start)
    job_of = {stage.stage: stage.job for stage in morning.branch.stages}
    hands: dict[str, list[str]] = {crew.crew: [] for crew in morning.branch.crews}
    for one in ordered:
        crew, stage = one.placement.crew, one.placement.stage
        today = one.placement.cells[0] < 2
        same_job = job_of[stage] in {job_of[other] for other in hands[crew]}
        if today or same_job:
            hands[crew].append(stage)
    rows = tuple(
        PlanRow(
            placement.stage,
            placement.crew,
            plan.horizon.day_of(placement.start),
            plan.horizon.half_of(placement.start),
            part=part.number,
            half_days=len(placement.cells),
        )
        for part in planned_parts(ordered)
        for placement in (part.planned.placement,)
    )
    left_at_noon = frozenset(
        one.placement.stage for one in ordered if one.placement.parts[:1] and _only_am(one)
    )
    return Orders({crew: tuple(hand) for crew, hand in hands.items()}, rows, left_at_noon)


def _only_am(one: Planned) -> bool:
    """Whether its first part is the first half-day alone."""
    return one.placement.parts[0].cells == (0,)
