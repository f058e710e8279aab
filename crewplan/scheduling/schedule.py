"""From everything that could be done to one plan."""

from collections import Counter

from crewplan.model.placement import Choices
from crewplan.model.plan import EngineName, Plan
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.engines import EngineChoice
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.explain import gave_way, unplaced
from crewplan.scheduling.fill import cheap_order, fill
from crewplan.scheduling.in_hand import planned
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.lending import LENDING, fill_with_loans, from_without_lending
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.selection import Picked
from crewplan.scheduling.stop import Stop

_DEFAULT_STOP = Stop()


def _as_plan(whole: Problem, picked: Picked, bound: int, engine: EngineName, thumb: int) -> Plan:
    choices = whole.held.choices
    placements = whole.held.taken(picked)
    left_out = unplaced(clashes(whole, picked))
    parts: Counter[str] = Counter()
    for placement in placements:
        parts.update(placement.cost)
    out = {stage.stage for stage in left_out}
    for stage in choices.stages:
        if stage.stage in out:
            parts.update(stage.unplaced_cost)
    if choices.lending is not None:
        parts[LENDING] += len(whole.held.lent(picked)) * choices.lending.cents_per_day
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


def schedule(
    choices: Choices, *, engine: EngineChoice = "highs", stop: Stop = _DEFAULT_STOP
) -> Plan:
    """The cheapest plan that the engine finds, never dearer than the rule of thumb's.

    The search starts from the rule of thumb; where people may be lent, from the plan without
    that. What the engine leaves out although it fits and saves money is added afterwards, so that
    'price' as a reason is always true.
    """
    solve = engine_named(engine)
    kept = keep_together(choices, solve)
    whole = kept.whole
    thumb = rule_of_thumb(whole, kept.seated)
    effort = Effort(stop)
    start = thumb
    if whole.held.loans:
        start = from_without_lending(kept, thumb, solve, effort)
    result = solve(whole.selection, start, effort.left())
    picked = fill(whole.selection, result.picked, cheap_order(whole.selection))
    picked = fill_with_loans(whole, picked)
    return _as_plan(whole, picked, result.bound, engine, whole.selection.price(thumb))


def rule_of_thumb_plan(choices: Choices) -> Plan:
    """The rule of thumb's own plan, to hold the planner against; its bound is its price."""
    kept = keep_together(choices, engine_named("highs"))
    whole = kept.whole
    thumb = rule_of_thumb(whole, kept.seated)
    cents = whole.selection.price(thumb)
    return _as_plan(whole, thumb, cents, "rule of thumb", cents)
