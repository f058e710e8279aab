"""Every stage is accounted for, once, and the price adds up."""

from collections import Counter
from collections.abc import Iterator

from crewplan.model.placement import Placement
from crewplan.scheduling.checker.facts import Facts
from crewplan.scheduling.checker.uneven import uneven_cents


def every_stage_once(facts: Facts) -> Iterator[str]:
    """Each stage is placed, left out or done: one of them, and once."""
    plan = facts.plan
    told = Counter(p.stage for p in facts.placed)
    told.update(out.stage for out in plan.unplaced)
    told.update(plan.done)
    done = set(plan.done)
    finished = set(facts.branch.finished)
    for stage, times in told.items():
        if stage not in facts.stages and stage not in finished:
            yield f"unknown stage: {stage} has no row"
        if times > 1:
            yield f"stage twice: {stage} stands {times} times in the plan"
    for stage in finished - done:
        yield f"done: {stage} is done"
    for stage in facts.stages:
        if stage not in told:
            yield f"stage lost: {stage} is neither placed, left out nor done"
        elif facts.hours[stage].done != (stage in done):
            yield f"done: {stage} is {'done' if facts.hours[stage].done else 'not done'}"
    known = {id(p) for p in facts.known}
    for placement in facts.placed:
        if id(placement) not in known and placement.stage in facts.stages:
            yield f"outside: {placement.stage} has an unknown crew or leaves the horizon"
    for out in plan.unplaced:
        if not any(reason.detail for reason in out.reasons):
            yield f"no reason: nothing says why {out.stage} is left out"


def price_adds_up(facts: Facts) -> Iterator[str]:
    """Objective, parts and bound agree with what was offered at what price."""
    plan, choices = facts.plan, facts.choices
    # most are the very ones that were offered; only others are held against those by what they say
    the_same = set(map(id, choices.placements))
    asked = {(p.stage, p.crew) for p in facts.placed if id(p) not in the_same}
    offered: dict[tuple[str, str, tuple[int, ...]], list[Placement]] = {}
    for p in choices.placements if asked else ():
        if (p.stage, p.crew) in asked:
            offered.setdefault((p.stage, p.crew, p.cells), []).append(p)
    later = {stage.stage: stage.unplaced_cost for stage in choices.stages}
    parts: Counter[str] = Counter()
    for placement in facts.placed:
        parts.update(placement.cost)
        alike = offered.get((placement.stage, placement.crew, placement.cells), ())
        if id(placement) not in the_same and placement not in alike:
            yield (
                f"price: {placement.stage} with crew {placement.crew} on these half-days was not "
                f"offered like this"
            )
    for out in plan.unplaced:
        parts.update(later.get(out.stage, {}))
        if out.cents != sum(later.get(out.stage, {}).values()):
            yield f"price: leaving {out.stage} out costs another amount"
    parts["uneven hours"] += uneven_cents(facts)
    per_day = facts.branch.settings.lending_cost_per_day
    if facts.lent_on and per_day is not None:
        parts["lending"] += len(facts.lent_on) * round(per_day * 100)
    if sum(parts.values()) != plan.objective or sum(plan.parts.values()) != plan.objective:
        yield (
            f"price: {plan.objective} cents, but its parts add up to {sum(plan.parts.values())} "
            f"and its placements to {sum(parts.values())}"
        )
    if {k: v for k, v in parts.items() if v} != {k: v for k, v in plan.parts.items() if v}:
        yield "price: a part of it is not what the placements cost"
    if plan.bound > plan.objective:
        yield f"price: the bound {plan.bound} lies above the price {plan.objective}"
    if plan.rule_of_thumb is not None and plan.objective > plan.rule_of_thumb:
        yield f"price: {plan.objective} is dearer than the rule of thumb's {plan.rule_of_thumb}"
