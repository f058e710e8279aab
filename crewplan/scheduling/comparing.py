"""Two plans of the same stages, held against each other."""

from collections.abc import Collection, Iterator, Mapping

from crewplan.model.horizon import Horizon
from crewplan.model.people_rows import Person
from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import Plan
from crewplan.model.whatif import BrokenPromise, Comparison, Move, Slot
from crewplan.scheduling.lent_days import lent_changes, lent_days


def slot_of(horizon: Horizon, placement: Placement) -> Slot:
    """Where a placement stands."""
    back = placement.part_starts[1:2]
    return Slot(
        placement.crew,
        horizon.day_of(placement.start),
        horizon.half_of(placement.start),
        horizon.day_of(placement.end),
        horizon.day_of(back[0]) if back else None,
    )


def slots(plan: Plan) -> dict[str, Slot]:
    """Where each placed stage stands."""
    placements = (planned.placement for planned in plan.planned)
    return {placement.stage: slot_of(plan.horizon, placement) for placement in placements}


def moves_between(
    before: Mapping[str, Slot], after: Mapping[str, Slot], job_of: Mapping[str, str]
) -> tuple[Move, ...]:
    """Stages that stand elsewhere, in the order of `job_of`; those in neither are not told."""
    found = []
    for stage, job in job_of.items():
        was, now = before.get(stage), after.get(stage)
        if was == now:
            continue
        later = (now.end_on - was.end_on).days if was is not None and now is not None else None
        found.append(Move(stage, job, was, now, later))
    return tuple(found)


def _broken(
    choices: Choices, before: Mapping[str, Slot], after: Mapping[str, Slot]
) -> Iterator[BrokenPromise]:
    last_day = choices.horizon.days[-1]
    for stage in choices.stages:
        was, now = before.get(stage.stage), after.get(stage.stage)
        ended = None if was is None else was.end_on
        ends = None if now is None else now.end_on
        if ends is None:
            # left out: broken where the promise falls within these days and it was placed before
            breaks = stage.due_on <= last_day and ended is not None
        else:
            breaks = ends > stage.due_on and (ended is not None and ends > ended)
        if breaks:
            yield BrokenPromise(stage.stage, stage.job, stage.due_on, ends, ended)


def compare(choices: Choices, people: Collection[Person], before: Plan, after: Plan) -> Comparison:
    """What the second plan costs more, moves and breaks.

    Args:
        choices: of the branch as it is; its order of stages is the order that moves are told in.
        people: of both plans, for the crews that are their own.
        before: the plan to hold against.
        after: another plan of the same stages and days.
    """
    names = dict.fromkeys((*before.parts, *after.parts))
    was, now = slots(before), slots(after)
    job_of = {stage.stage: stage.job for stage in choices.stages}
    return Comparison(
        before.objective,
        after.objective,
        {name: (before.parts.get(name, 0), after.parts.get(name, 0)) for name in names},
        moves_between(was, now, job_of),
        tuple(_broken(choices, was, now)),
        max(plan.objective - plan.bound for plan in (before, after)),
        lent_changes(lent_days(people, before), lent_days(people, after)),
    )
