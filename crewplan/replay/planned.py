"""This program, as its users run it: planned anew each evening, and published."""

from crewplan.model.calendar import frozen_days, next_working_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.plan import Plan, Planned
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing import all_choices
from crewplan.publishing.plan_rows import plan_rows
from crewplan.replay.hours_ahead import afternoon_share
from crewplan.replay.morning import Morning, Orders
from crewplan.scheduling import Stop, refuse_broken, schedule
from crewplan.scheduling.done_early import next_when_early, on_the_way

DAYS = 10
_STOP = Stop(seconds=None, gap=0.01, steps=10)
"""By work, not by the clock: the same answer on every machine."""
FAIR_SHARE = 0.7
"""Assumed: replays tell no difference between shares (DEVELOPERS.md, Replay)."""


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


def planned(morning: Morning, fair_share: float = FAIR_SHARE) -> Orders:
    """Tomorrow's placements; a crew that is done early goes on with the same job, then with its
    next working day where the job is begun or late (`next_when_early`).

    Args:
        morning: what is known.
        fair_share: of the afternoon's working hours that must be expected to be open, mean over
            members, for the most exposed work of a stage that is gone on to.
    """
    plan = plan_of(morning)
    ordered = sorted(plan.planned, key=lambda one: one.placement.start)
    known = on_the_way(morning.branch, morning.hours)
    stages = known.stages
    left_at_noon = frozenset(
        one.placement.stage for one in ordered if one.placement.parts[:1] and _only_am(one)
    )
    hands: dict[str, list[str]] = {crew.crew: [] for crew in morning.branch.crews}
    for one in ordered:
        crew, stage = one.placement.crew, stages[one.placement.stage]
        today = one.placement.cells[0] < 2
        same_job = stage.job in {stages[other].job for other in hands[crew]}
        if today or (same_job and left_at_noon.isdisjoint(stage.after)):
            hands[crew].append(stage.stage)
    rows = plan_rows(plan)
    share = afternoon_share(morning)

    def fair(stage: str) -> bool:
        work = [EXPOSURES.index(step.exposure) for step in morning.hours[stage].steps]
        return bool(share[max(work, default=0)] >= fair_share)

    further = next_when_early(
        known,
        rows,
        morning.day,
        next_working_day(morning.branch.settings, morning.day),
        {crew: [one for one in hand if one not in left_at_noon] for crew, hand in hands.items()},
        fair,
    )
    visits = {crew: (*hand, *further.get(crew, ())) for crew, hand in hands.items()}
    return Orders(visits, rows, left_at_noon)


def _only_am(one: Planned) -> bool:
    """Whether its first part is the first half-day alone."""
    return one.placement.parts[0].cells == (0,)
