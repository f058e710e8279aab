"""From everything that could be done to one plan."""

from collections import Counter
from collections.abc import Callable, Collection

import numpy as np

from crewplan.model.placement import Choices
from crewplan.model.plan import EngineName, Plan
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.dropping import Key, standing_columns
from crewplan.scheduling.engines import Engine, EngineChoice
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.explain import gave_way, unplaced
from crewplan.scheduling.fill import fill
from crewplan.scheduling.in_hand import planned
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.selection import Picked
from crewplan.scheduling.stop import Stop

_DEFAULT_STOP = Stop()


def cheap_order(whole: Problem) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    """Columns that cost less than leaving their stage out, the greatest saving first."""
    cost = whole.selection.cost
    order: np.ndarray[tuple[int], np.dtype[np.intp]] = np.argsort(cost, kind="stable")
    return order[cost[order] < 0]


def _as_plan(whole: Problem, picked: Picked, bound: int, engine: EngineName, thumb: int) -> Plan:
    choices = whole.held.choices
    placements = [whole.held.placements[column] for column in np.flatnonzero(picked)]
    left_out = unplaced(clashes(whole, picked))
    parts: Counter[str] = Counter()
    for placement in placements:
        parts.update(placement.cost)
    out = {stage.stage for stage in left_out}
    for stage in choices.stages:
        if stage.stage in out:
            parts.update(stage.unplaced_cost)
    return Plan(
        horizon=choices.horizon,
        objective=sum(parts.values()),
        bound=bound,
        engine=engine,
        rule_of_thumb=thumb,
        parts=dict(parts),
        planned=planned(choices, placements, gave_way(whole, picked)),
        unplaced=left_out,
        done=choices.done,
        notes=choices.notes,
    )


def _cheaper(whole: Problem, one: Picked, other: Picked) -> Picked:
    price = whole.selection.price
    return other if whole.selection.holds(other) and price(other) < price(one) else one


def schedule(
    choices: Choices,
    *,
    engine: EngineChoice = "auto",
    stop: Stop = _DEFAULT_STOP,
    solver: Callable[[EngineChoice], Engine] = engine_named,
    begin: Collection[Key] = (),
) -> Plan:
    """The cheapest plan that the engine finds, never dearer than the rule of thumb's.

    The search starts from the rule of thumb, or from an earlier plan. What the engine leaves out
    although it fits and saves money is added afterwards, so that 'price' as a reason is always
    true.

    Args:
        choices: what there is to pick from.
        engine: which engine; auto: by size.
        stop: when it ends.
        solver: where the engine runs; else in this process.
        begin: placements of an earlier plan, to start from as far as they still stand.
    """
    kept = keep_together(choices, engine_named(engine))
    whole = kept.whole
    thumb = rule_of_thumb(whole, kept.seated)
    start = thumb
    if begin:
        stands = standing_columns(whole, begin, kept.seated)
        start = _cheaper(whole, thumb, fill(whole.selection, stands, cheap_order(whole)))
    result = solver(engine)(whole.selection, start, stop)
    picked = fill(whole.selection, result.picked, cheap_order(whole))
    return _as_plan(whole, picked, result.bound, result.solver, whole.selection.price(thumb))


def rule_of_thumb_plan(choices: Choices) -> Plan:
    """The rule of thumb's own plan, to hold the planner against; its bound is its price."""
    kept = keep_together(choices, engine_named("highs"))
    whole = kept.whole
    thumb = rule_of_thumb(whole, kept.seated)
    cents = whole.selection.price(thumb)
    return _as_plan(whole, thumb, cents, "rule of thumb", cents)
