"""Why is this stage there, and what would another place cost?"""

from crewplan.model.answer import Answer, OtherPlacement
from crewplan.model.placement import Choices
from crewplan.model.plan import Plan
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.columns import kept_at
from crewplan.scheduling.problem import problem

MOST_OTHERS = 5


def _all_stay(choices: Choices, plan: Plan) -> bool:
    """Whether the plan has all that is to stay where it was published."""
    there = {p.placement.stage: p.placement for p in plan.planned}
    return all(
        stage.keep is None or (stage.stage in there and kept_at(stage, there[stage.stage]))
        for stage in choices.stages
    )


def _others(
    choices: Choices, plan: Plan, stage: str, cents: int, most: int
) -> tuple[OtherPlacement, ...]:
    whole = problem(choices, all_stay=_all_stay(choices, plan))
    rest = {p.placement.key for p in plan.planned}
    picked = whole.held.with_loans(
        p.stage != stage and p.key in rest for p in whole.held.placements
    )
    seen = clashes(whole, picked)
    found: list[OtherPlacement] = []
    for column in whole.held.of_stage[stage].tolist():
        placement = whole.held.placements[column]
        if placement.key not in rest and not seen.not_lent(column):
            breaks = seen.reasons([column])
            found.append(OtherPlacement(placement, placement.cents - cents, breaks))
    found.sort(key=lambda other: (bool(other.breaks), other.cents_more))
    return tuple(found[:most])


def why(choices: Choices, plan: Plan, stage: str, *, most: int = MOST_OTHERS) -> Answer:
    """The price of a stage by part, its reasons if it is left out, and its other placements.

    Args:
        choices: what the plan was made from.
        plan: the plan.
        stage: a stage of the plan, placed, left out or done.
        most: other placements to tell.

    Raises:
        KeyError: no such stage.
    """
    planned = next((p for p in plan.planned if p.placement.stage == stage), None)
    left_out = next((out for out in plan.unplaced if out.stage == stage), None)
    if stage in plan.done:
        return Answer(stage, None, None, {}, None, ())
    if planned is None and left_out is None:
        raise KeyError(stage)
    to_place = next(s for s in choices.stages if s.stage == stage)
    parts = to_place.unplaced_cost if planned is None else planned.placement.cost
    others = _others(choices, plan, stage, sum(parts.values()), most)
    stays = planned is not None and kept_at(to_place, planned.placement)
    keep = to_place.keep if stays else None
    return Answer(stage, planned, left_out, dict(parts), keep, others)
