"""Trying everything, HiGHS and CP-SAT find the same best price to the cent."""

from collections import Counter

from hypothesis import HealthCheck, given, settings
from plain_twin import allowed, best_price, parts, price
from small_choices import small_choices

from crewplan.scheduling import Stop, schedule

PROOF = Stop(seconds=None, gap=0.0, steps=1_000_000)
DRAWN = ("overtime", "worst weathers", "another crew", "uneven hours")


def picked(plan):
    return {planned.placement.stage: planned.placement for planned in plan.planned}


def test_trying_everything_and_both_engines_find_the_same_best_price():
    paid = Counter()

    @settings(
        max_examples=500,
        deadline=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    @given(small_choices())
    def in_any_week(choices):
        best = best_price(choices)
        for engine in ("highs", "cp-sat"):
            plan = schedule(choices, engine=engine, stop=PROOF)
            assert plan.objective == best, engine
            assert plan.bound == best, engine
            assert allowed(choices, picked(plan)), engine
            assert price(choices, picked(plan)) == sum(plan.parts.values()) == plan.objective
            told = {name: cents for name, cents in plan.parts.items() if cents}
            assert told == parts(choices, picked(plan)), engine
            assert plan.objective <= plan.rule_of_thumb
            left_out = {out.stage for out in plan.unplaced}
            assert left_out == {s.stage for s in choices.stages} - set(picked(plan))
            assert all(out.reasons and all(r.detail for r in out.reasons) for out in plan.unplaced)
            paid.update(told.keys())

    in_any_week()
    # the best plans pay each of the prices, so that what was compared has them in it
    assert all(paid[part] >= 10 for part in DRAWN), paid
