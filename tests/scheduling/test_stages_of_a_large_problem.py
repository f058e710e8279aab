"""Solving a large problem in stages proves no more than what is true."""

from dataclasses import replace

import numpy as np
import pytest
from invented_choices import invented_choices

from crewplan.scheduling.engines.highs import in_stages, relax
from crewplan.scheduling.engines.highs_run import at_once
from crewplan.scheduling.engines.relaxation import narrowed, relaxation, widened
from crewplan.scheduling.problem import problem
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.stop import Stop

PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def week(seed, crews=5, stages=16):
    whole = problem(invented_choices(crews, stages, seed=seed))
    return whole.selection, rule_of_thumb(whole, whole.nothing())


@pytest.mark.parametrize("seed", range(4))
def test_in_stages_and_in_one_run_the_best_price_is_the_same(seed):
    selection, start = week(seed)
    staged = in_stages(selection, start, PROOF)
    assert staged.proven
    assert staged.objective == at_once(selection, start, PROOF).objective


def test_in_stages_within_the_gap_that_was_asked_for():
    selection, start = week(5, crews=8, stages=40)
    result = in_stages(selection, start, Stop(seconds=None, gap=0.01, steps=100_000))
    assert result.objective - result.bound <= 0.01 * result.objective
    assert result.objective <= selection.price(start)


def test_whatever_prices_rows_have_the_bound_they_prove_is_true():
    selection, start = week(1)
    best = at_once(selection, start, PROOF).objective
    dice = np.random.default_rng(7)
    for scale in (0, 1, 1e3, 1e6):
        prices = dice.normal(0, 1, len(selection.upper)) * scale
        assert relaxation(selection, prices, start.astype(float)).bound <= best


def test_the_relaxation_is_a_bound_and_rules_out_only_what_is_dearer():
    """For a few columns: the best price with the column in it is at least what was foretold."""
    selection, start = week(2, crews=3, stages=8)
    relaxed = relax(selection, PROOF)
    assert relaxed is not None
    best = at_once(selection, start, PROOF).objective
    assert relaxed.bound <= best
    for column in np.argsort(-relaxed.added)[:5]:
        forced = selection.cost.copy()
        forced[column] -= 10**9  # so good that it is picked
        with_it = at_once(replace(selection, cost=forced), None, PROOF).objective + 10**9
        assert with_it >= relaxed.bound + relaxed.added[column] - 1e-3


def test_no_time_for_the_relaxation_keeps_the_start():
    selection, start = week(3)
    result = in_stages(selection, start, Stop(seconds=0.0, gap=0.0))
    assert result.objective <= selection.price(start)


def test_a_choice_of_the_narrowed_problem_is_one_of_the_whole():
    selection, start = week(4)
    kept = start | (np.arange(len(start)) % 3 == 0)
    small = narrowed(selection, kept)
    assert small.price(start[kept]) == selection.price(start)
    assert np.array_equal(widened(kept, start[kept]), start)


def test_stages_by_steps_give_the_same_answer_again():
    selection, start = week(6, crews=8, stages=40)
    stop = Stop(seconds=None, gap=0.001, steps=60, seed=3)
    first, second = (in_stages(selection, start, stop) for _ in range(2))
    assert first.picked.tolist() == second.picked.tolist()
    assert (first.bound, first.steps) == (second.bound, second.steps)


def test_no_bound_that_is_told_on_the_way_is_above_the_best_price():
    selection, start = week(2)
    told = []
    result = in_stages(selection, start, PROOF, told.append)
    assert result.proven
    assert all(so_far.bound <= result.objective for so_far in told)
    assert told[-1].price == result.objective
