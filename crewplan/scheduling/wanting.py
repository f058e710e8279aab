"""Choices in which a stage has to start on a day, and a plan is followed where nothing speaks
against it."""

from collections.abc import Mapping
from dataclasses import replace

from crewplan.model.horizon import Horizon
from crewplan.model.parts import dearer_by, placement_parts
from crewplan.model.placement import Choices, Placement, Reason, StageToPlace
from crewplan.model.plan import Plan
from crewplan.model.whatif import Slot, Wanted
from crewplan.scheduling.comparing import slot_of

ELSEWHERE = "elsewhere than before"
"""The part of the price that keeps two plans alike; it stands in no answer."""
ELSEWHERE_CENTS = 100
"""A stage is not moved to save less than this (assumed): such moves are the solver's own."""
NOT_THERE = "not where it is wanted"
"""The part that leaving a wanted stage out costs; no plan that places it has it."""


def _fits(horizon: Horizon, placement: Placement, wanted: Wanted) -> bool:
    if wanted.off:
        cells = [cell for part in placement_parts(placement) for cell in part.cells]
        return all(horizon.day_of(cell) != wanted.day for cell in cells)
    starts = horizon.day_of(placement.start)
    return starts == wanted.day and wanted.crew in (None, placement.crew)


def refusals(choices: Choices, wanted: Wanted) -> tuple[Reason, ...]:
    """Why the stage has no start on the day, before any plan is made; empty: it has."""
    stage = next(one for one in choices.stages if one.stage == wanted.stage)
    horizon, day = choices.horizon, wanted.day
    if stage.keep is not None:
        kept = horizon.day_of(stage.keep.start)
        there = (kept, stage.keep.crew) == (day, wanted.crew or stage.keep.crew)
        if there == wanted.off:  # it stays where it shall not be, or elsewhere than wanted
            how = "pinned" if stage.keep.pinned else "published for a frozen day,"
            where = f"{how} with {stage.keep.crew} on {kept.isoformat()}, and stays there"
            return (Reason("pin", where, kept, kept),)
    if wanted.off or any(
        p.stage == wanted.stage and _fits(horizon, p, wanted) for p in choices.placements
    ):
        return ()
    told = tuple(
        reason
        for reason in stage.reasons
        if (reason.from_on or day) <= day <= (reason.until_on or day)
    )
    with_whom = f" with {wanted.crew}" if wanted.crew else ""
    nothing = f"it cannot start on {day.isoformat()}{with_whom} and be ended within these days"
    return told or (Reason("horizon", nothing, day, day),)


def at_any_price(choices: Choices, stage: str) -> Choices:
    """Leaving the stage out costs more than all that a plan could save by it."""
    most = sum(sum(one.unplaced_cost.values()) for one in choices.stages)
    most += max((abs(p.cents) for p in choices.placements), default=0) * len(choices.stages) + 1

    def dear(one: StageToPlace) -> StageToPlace:
        if one.stage != stage:
            return one
        return replace(one, unplaced_cost={**one.unplaced_cost, NOT_THERE: most})

    return replace(choices, stages=tuple(map(dear, choices.stages)))


def wanting(choices: Choices, wanted: Wanted) -> Choices:
    """Only placements of the stage that start on the day are left, at any price; or those that
    stay off it, at their own.
    """
    horizon = choices.horizon
    return replace(
        choices if wanted.off else at_any_price(choices, wanted.stage),
        placements=tuple(
            p for p in choices.placements if p.stage != wanted.stage or _fits(horizon, p, wanted)
        ),
    )


def alike(choices: Choices, before: Mapping[str, Slot]) -> Choices:
    """A little dearer wherever a stage stands elsewhere than in another plan."""
    horizon = choices.horizon

    def moved(cost: Mapping[str, int]) -> dict[str, int]:
        return {**cost, ELSEWHERE: ELSEWHERE_CENTS}

    return replace(
        choices,
        stages=tuple(
            replace(stage, unplaced_cost=moved(stage.unplaced_cost))
            if stage.stage in before
            else stage
            for stage in choices.stages
        ),
        placements=tuple(
            p
            if before.get(p.stage) == slot_of(horizon, p)
            else dearer_by(p, ELSEWHERE, ELSEWHERE_CENTS)
            for p in choices.placements
        ),
    )


def plain_price(plan: Plan) -> Plan:
    """The plan without the parts that only the question put into its price."""
    ours = {name: cents for name, cents in plan.parts.items() if name in (ELSEWHERE, NOT_THERE)}
    extra = sum(ours.values())
    return replace(
        plan,
        objective=plan.objective - extra,
        bound=min(plan.bound, plan.objective - extra),
        parts={name: cents for name, cents in plan.parts.items() if name not in ours},
    )
