"""With people lent, trying everything and both engines find the same best price to the cent."""

from dataclasses import replace

from hypothesis import HealthCheck, event, given, settings
from plain_twin import allowed, best_price, lent_to, price
from small_lending import small_lending

from crewplan.scheduling import Stop, schedule

PROOF = Stop(seconds=None, gap=0.0, steps=1_000_000)


def picked(plan):
    return {planned.placement.stage: planned.placement for planned in plan.planned}


def without_lending(choices):
    alone = tuple(p for p in choices.placements if not p.joined and not p.lent_away)
    return replace(choices, placements=alone, lending=None)


@settings(
    max_examples=160,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(small_lending())
def test_trying_everything_and_both_engines_lend_at_the_same_best_price(choices):
    best = best_price(choices)
    for engine in ("highs", "cp-sat"):
        plan = schedule(choices, engine=engine, stop=PROOF)
        assert plan.objective == plan.bound == best, engine
        assert allowed(choices, picked(plan)), engine
        assert price(choices, picked(plan)) == sum(plan.parts.values()) == plan.objective
        lent = lent_to(choices, picked(plan))
        event("somebody is lent" if lent else "nobody is lent")
        assert plan.parts.get("lending", 0) == len(lent) * choices.lending.cents_per_day
        assert all(out.reasons and all(r.detail for r in out.reasons) for out in plan.unplaced)
    # uneven hours are counted over crews that can do something: lending may add one
    if not choices.uneven_cents_a_minute and all(s.keep is None for s in choices.stages):
        assert best <= schedule(without_lending(choices), stop=PROOF).objective
