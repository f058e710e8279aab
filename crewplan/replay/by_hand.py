"""What people do without a planner: earliest promise first, the next crew that is free."""

from collections.abc import Callable, Iterable

from crewplan.model.job_rows import Stage
from crewplan.model.work_rows import EXPOSURES
from crewplan.replay.hours_ahead import open_h
from crewplan.replay.morning import Morning, Orders

NEXT_UP = 2
"""Stages that a crew may go on to when it is done early."""
LEAST_OPEN_H = 3.0
"""A day with fewer open hours in the one forecast that people look at is called off. Assumed."""


def ready_stages(morning: Morning) -> list[Stage]:
    """Stages that could go on, earliest promise first, then priority and the table's order."""
    due = {job.job: (job.due_on, job.priority) for job in morning.branch.jobs}
    open_stages = [one for one in morning.branch.stages if not morning.hours[one.stage].done]
    left = {stage.stage for stage in open_stages}
    ready = [stage for stage in open_stages if left.isdisjoint(stage.after)]
    return sorted(ready, key=lambda stage: due[stage.job])


def dealt(morning: Morning, ready: Iterable[Stage]) -> dict[str, list[Stage]]:
    """By crew: the stage that it began, or the next one; then a few more, one crew at a time."""
    crews = [crew.crew for crew in morning.branch.crews]
    waiting = list(ready)
    hands: dict[str, list[Stage]] = {crew: [] for crew in crews}
    for stage in [one for one in waiting if one.stage in morning.begun_by]:
        crew = morning.begun_by[stage.stage]
        if not hands[crew]:
            hands[crew].append(stage)
            waiting.remove(stage)
    for most in range(1, NEXT_UP + 2):
        for crew in crews:
            if waiting and len(hands[crew]) < most:
                hands[crew].append(waiting.pop(0))
    return hands


def _orders(hands: dict[str, list[Stage]]) -> Orders:
    return Orders({crew: tuple(one.stage for one in hand) for crew, hand in hands.items()})


def always_go(morning: Morning) -> Orders:
    """Whatever the forecast says."""
    return _orders(dealt(morning, ready_stages(morning)))


def _fair_in_one_forecast(morning: Morning) -> Callable[[Stage], bool]:
    """Whether the first member shows hours enough for the most exposed work that is left."""
    in_first_h = open_h(morning, hopeful=True)[:, 0]

    def fair(stage: Stage) -> bool:
        left = morning.hours[stage.stage].steps
        most = max((EXPOSURES.index(step.exposure) for step in left), default=0)
        return bool(in_first_h[most] >= LEAST_OPEN_H)

    return fair


def cancelled_on_one(morning: Morning) -> Orders:
    """Where the one forecast is bad for a crew's first stage, the crew stays at home."""
    fair = _fair_in_one_forecast(morning)
    hands = dealt(morning, ready_stages(morning))
    return _orders({crew: hand if hand and fair(hand[0]) else [] for crew, hand in hands.items()})


def another_job(morning: Morning) -> Orders:
    """Only stages for which the one forecast is fair are dealt out."""
    fair = _fair_in_one_forecast(morning)
    return _orders(dealt(morning, filter(fair, ready_stages(morning))))
