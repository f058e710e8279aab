"""Freeing a few stages at a time makes a plan cheaper, and never breaks what holds."""

from dataclasses import replace

import numpy as np
import pytest
from invented_choices import invented_choices

from crewplan.model.placement import Keep
from crewplan.scheduling.engines import highs
from crewplan.scheduling.engines.best import Best
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.guided import guided, seated
from crewplan.scheduling.engines.improving import improve
from crewplan.scheduling.engines.interface import tell_nobody
from crewplan.scheduling.engines.neighbourhoods import KINDS, NOWHERE, cheapest, freed, standing
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.problem import problem
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.stop import Stop

STEPS = Stop(seconds=None, gap=0.004, steps=30)


def week(seed, crews=5, stages=20):
    whole = problem(invented_choices(crews, stages, seed=seed))
    return whole, rule_of_thumb(whole, whole.nothing())


def relaxed_of(selection):
    return highs.relax(selection, STEPS)


def stand(whole, picked):
    selection = whole.selection
    least = cheapest(selection.cost, selection.places, 20)
    return standing(selection.places, picked, selection.cost, least)


def searched(whole, start, tell=tell_nobody):
    selection = whole.selection
    best = Best(selection, start, tell)
    added = relaxed_of(selection).added
    improve(selection, selection.places, added, best, Effort(STEPS), STEPS.gap)
    return best


@pytest.mark.parametrize("seed", range(3))
def test_a_search_makes_the_rule_of_thumb_s_plan_cheaper_and_keeps_to_all_rows(seed):
    whole, start = week(seed)
    best = searched(whole, start)
    assert best.price < whole.selection.price(start)
    assert whole.selection.holds(best.picked)
    assert best.price == whole.selection.price(best.picked)


def test_the_same_seed_and_steps_find_the_same_plan_again():
    whole, start = week(3)
    first, second = (searched(whole, start).picked for _ in range(2))
    assert first.tolist() == second.tolist()


def test_each_choice_that_is_told_is_cheaper_than_the_one_before():
    told = []
    whole, start = week(4)
    searched(whole, start, told.append)
    prices = [so_far.price for so_far in told]
    assert len(prices) > 1
    assert prices == sorted(set(prices), reverse=True)
    assert all(whole.selection.holds(so_far.picked) for so_far in told)


@pytest.mark.parametrize("kind", KINDS)
def test_a_neighbourhood_frees_stages_once_each_and_some_that_are_left_out(kind):
    whole, start = week(5, crews=2)
    places = whole.selection.places
    now = stand(whole, start)
    assert len(now.left_out) > 0
    dice = np.random.default_rng(1)
    free = freed(kind(now, places, dice), now, 10, dice)
    assert len(free) == len(set(free.tolist())) <= 10
    assert np.any(now.column[free] == NOWHERE)
    assert np.any(now.column[free] != NOWHERE)


def test_excess_is_what_a_stage_s_place_costs_over_its_cheapest():
    whole, start = week(5)
    cost, stage = whole.selection.cost, whole.selection.places.stage
    now = stand(whole, start)
    assert now.excess.sum() > 0
    for index, excess in enumerate(now.excess):
        mine = cost[stage == index]
        there = cost[(stage == index) & start]
        assert excess == (there[0] - mine.min() if len(there) else 0)


@pytest.mark.parametrize("seed", range(3))
def test_an_interior_point_proves_nearly_the_bound_that_a_corner_proves(seed, monkeypatch):
    selection = week(seed)[0].selection
    corner = relaxed_of(selection).bound
    monkeypatch.setattr(highs, "INTERIOR_FROM", 0)
    inside = relaxed_of(selection)
    assert inside.bound == pytest.approx(corner, rel=1e-5)
    assert np.any((inside.part > 0.01) & (inside.part < 0.99))


def test_where_no_proof_is_in_reach_the_search_goes_on_to_the_end_of_its_steps(monkeypatch):
    monkeypatch.setattr(highs, "PROVED_UP_TO", 0)
    whole, start = week(2, crews=2)
    stop = replace(STEPS, gap=0.0, steps=400)
    found = highs.in_stages(whole.selection, start, stop)
    assert found.steps >= stop.steps or found.proven
    assert found.bound <= found.objective <= whole.selection.price(start)


def test_where_nothing_is_placed_there_is_nothing_to_search_around():
    whole, _ = week(6)
    assert searched(whole, whole.nothing()).price == whole.selection.constant


def test_a_plan_guided_by_the_relaxation_keeps_what_was_published():
    """Also where that costs more than leaving the stage out."""
    choices = invented_choices(4, 12, seed=7)
    dear = max(choices.placements, key=lambda p: p.cents)
    stages = tuple(
        replace(s, keep=Keep(dear.crew, dear.start, pinned=True)) if s.stage == dear.stage else s
        for s in choices.stages
    )
    kept = keep_together(replace(choices, stages=stages), highs.highs)
    selection = kept.whole.selection
    start = rule_of_thumb(kept.whole, kept.seated)
    picked = guided(selection, start, relaxed_of(selection))
    assert selection.holds(picked)
    assert dear.stage in kept.whole.stages(picked)
    assert dear.stage in kept.whole.stages(seated(selection, start))


def test_a_guided_plan_has_followers_that_only_fit_once_the_stage_before_is_there():
    whole, start = week(8)
    picked = guided(whole.selection, start, relaxed_of(whole.selection))
    placed = whole.stages(picked)
    followers = [s for s in whole.held.choices.stages if s.after and s.stage in placed]
    assert followers
    assert whole.selection.holds(picked)
    assert whole.selection.price(picked) < whole.selection.price(start)


def test_a_stop_of_no_time_searches_nothing():
    whole, start = week(9)
    best = Best(whole.selection, start, tell_nobody)
    effort = Effort(Stop(seconds=0.0, gap=0.0))
    improve(whole.selection, whole.selection.places, np.zeros(len(start)), best, effort, 0.0)
    assert best.picked is start
