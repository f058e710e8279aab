"""From everything that could be done to one plan."""

from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace

from scipy.sparse import csc_array

from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import EngineName, Plan
from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.dropping import Key, standing_columns
from crewplan.scheduling.engines import Engine, EngineChoice, EngineResult
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.evenness import UNEVEN, Even, with_even_hours
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
Alter = Callable[[Problem], Problem]
"""The same columns and rows at other prices."""


def _as_it_is(whole: Problem) -> Problem:
    return whole


def _filled(even: Even, picked: Picked) -> Picked:
    """What fits beside a choice and saves money, all of the price counted."""
    whole = even.whole
    if not even.bits:
        return fill(whole.selection, picked, cheap_order(whole.selection))
    placed = whole.stages(picked)
    by_column = csc_array(whole.selection.matrix)
    for column in cheap_order(whole.selection):
        if whole.held.placements[column].stage not in placed:
            more = fill(whole.selection, picked, [int(column)], by_column)
            if even.price(more) < even.price(picked):
                picked, placed = more, whole.stages(more)
    return picked


def _as_plan(even: Even, picked: Picked, bound: int, engine: EngineName, thumb: int) -> Plan:
    whole = even.whole
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
    if even.cents(picked):
        parts[UNEVEN] += even.cents(picked)
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


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """What a search ends with."""

    even: Even
    picked: Picked
    result: EngineResult
    thumb: Picked


def _search(
    choices: Choices,
    engine: EngineChoice,
    stop: Stop,
    solver: Callable[[EngineChoice], Engine],
    begin: Collection[Key],
    alter: Alter,
) -> _Found:
    kept = keep_together(choices, engine_named(engine))
    kept = replace(kept, whole=alter(kept.whole))
    even = with_even_hours(kept.whole)
    thumb = start = rule_of_thumb(kept.whole, kept.seated)
    if begin:
        before = _filled(even, standing_columns(kept.whole, begin, kept.seated))
        if kept.whole.selection.holds(before) and even.price(before) < even.price(thumb):
            start = before
    effort = Effort(stop)
    if kept.whole.held.loans:
        alone = from_without_lending(kept, thumb, even, solver(engine), effort)
        start = min(start, alone, key=even.price)
    result = solver(engine)(even.selection, even.stretched(start), effort.left())
    picked = fill_with_loans(even, _filled(even, even.columns(result.picked)))
    return _Found(even, picked, result, thumb)


def schedule(
    choices: Choices,
    *,
    engine: EngineChoice = "auto",
    stop: Stop = _DEFAULT_STOP,
    solver: Callable[[EngineChoice], Engine] = engine_named,
    begin: Collection[Key] = (),
    alter: Alter = _as_it_is,
) -> Plan:
    """The cheapest plan that the engine finds, never dearer than the rule of thumb's.

    The search starts from the rule of thumb, or from an earlier plan, and where people may be lent
    from the plan without that. What the engine leaves out although it fits and saves money is
    added afterwards, so that 'price' as a reason is always true.

    Args:
        choices: what there is to pick from.
        engine: which engine; auto: by size.
        stop: when it ends.
        solver: where the engine runs; else in this process.
        begin: placements of an earlier plan, to start from as far as they still stand.
        alter: prices to search by; the plan is told in its own, but for the bound.
    """
    found = _search(choices, engine, stop, solver, begin, alter)
    thumb = found.even.price(found.thumb)
    return _as_plan(found.even, found.picked, found.result.bound, found.result.solver, thumb)


def picks(
    choices: Choices,
    *,
    engine: EngineChoice = "auto",
    stop: Stop,
    begin: Collection[Key],
    alter: Alter,
) -> tuple[Placement, ...]:
    """As `schedule`, without saying why the rest is left out, which takes longer."""
    found = _search(choices, engine, stop, engine_named, begin, alter)
    return tuple(found.even.whole.held.taken(found.picked))


def as_it_stands(choices: Choices, begin: Collection[Key], engine: EngineChoice = "auto") -> Plan:
    """The plan of an earlier choice: nothing is moved, and what fits beside it is added.

    Its bound is its price: nothing is proven of it.

    Args:
        choices: what there is to pick from.
        begin: placements of that choice.
        engine: says what can stay where it was published, where that contradicts itself.
    """
    kept = keep_together(choices, engine_named(engine))
    even = with_even_hours(kept.whole)
    picked = standing_columns(kept.whole, begin, kept.seated)
    if not kept.whole.selection.holds(picked):
        picked = rule_of_thumb(kept.whole, kept.seated)
    picked = fill_with_loans(even, _filled(even, picked))
    price = even.price(picked)
    return _as_plan(even, picked, price, "highs", price)


def rule_of_thumb_plan(choices: Choices) -> Plan:
    """The rule of thumb's own plan, to hold the planner against; its bound is its price."""
    kept = keep_together(choices, engine_named("highs"))
    even = with_even_hours(kept.whole)
    thumb = rule_of_thumb(kept.whole, kept.seated)
    cents = even.price(thumb)
    return _as_plan(even, thumb, cents, "rule of thumb", cents)
