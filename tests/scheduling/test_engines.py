"""What both engines owe: the better of start and result, a true bound, silence."""

from dataclasses import replace

import numpy as np
import pytest
from invented_choices import invented_choices

from crewplan.scheduling.engines import NothingFound, engine
from crewplan.scheduling.engines.auto import CP_SAT_UP_TO
from crewplan.scheduling.engines.interface import settle, whole_bound
from crewplan.scheduling.problem import problem
from crewplan.scheduling.rows import count_row
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.selection import assemble
from crewplan.scheduling.stop import Stop

BOTH = pytest.mark.parametrize("name", ["highs", "cp-sat"])
PROOF = Stop(seconds=None, gap=0.0, steps=100_000)


def select(costs, rows, constant=0):
    return assemble(np.array(costs, dtype=np.int64), rows, constant)


@BOTH
def test_the_cheapest_of_two_is_picked_and_proven(name):
    result = engine(name)(select([-5, -7], [count_row([0, 1], 1)], 100), None, PROOF)
    assert result.picked.tolist() == [False, True]
    assert (result.objective, result.bound, result.proven) == (93, 93, True)


@BOTH
def test_no_choice_at_all_is_said(name):
    impossible = select([1, 1], [count_row([0, 1], 2, 2), count_row([0, 1], 1)])
    with pytest.raises(NothingFound):
        engine(name)(impossible, None, PROOF)


@BOTH
def test_nothing_to_choose_costs_the_constant(name):
    result = engine(name)(select([], [], 42), None, PROOF)
    assert (result.objective, result.bound) == (42, 42)


@BOTH
def test_a_stop_at_once_keeps_the_start(name):
    whole = problem(invented_choices(4, 12, seed=1))
    start = rule_of_thumb(whole, whole.nothing())
    result = engine(name)(whole.selection, start, Stop(seconds=0.0, gap=0.0))
    assert result.objective <= whole.selection.price(start)
    assert result.bound <= result.objective


@BOTH
def test_a_search_by_steps_gives_the_same_answer_again(name):
    whole = problem(invented_choices(4, 14, seed=2))
    start = rule_of_thumb(whole, whole.nothing())
    stop = Stop(seconds=None, gap=0.0, steps=3)
    first, second = (engine(name)(whole.selection, start, stop) for _ in range(2))
    assert first.picked.tolist() == second.picked.tolist()
    assert first.bound == second.bound


@BOTH
def test_an_engine_prints_nothing(name, capfd):
    engine(name)(select([-5, -7], [count_row([0, 1], 1)]), None, PROOF)
    told = capfd.readouterr()
    assert (told.out, told.err) == ("", "")


@BOTH
def test_threads_may_differ_from_run_to_run(name):
    for threads in (1, 2, 1):
        stop = replace(PROOF, steps=None, threads=threads, seconds=10.0)
        assert engine(name)(select([-5], []), None, stop).objective == -5


def test_a_result_that_is_dearer_than_the_start_is_thrown_away():
    selection = select([-5, -7], [count_row([0, 1], 1)])
    start, found = np.array([False, True]), np.array([True, False])
    assert settle(selection, start, found, -7).picked.tolist() == [False, True]


def test_a_result_that_breaks_a_row_is_thrown_away():
    selection = select([-5, -7], [count_row([0, 1], 1)])
    found = np.array([True, True])
    assert settle(selection, np.array([True, False]), found, -7).objective == -5
    with pytest.raises(NothingFound):
        settle(selection, None, found, -7)


def test_a_bound_is_whole_and_never_above_what_is_proven():
    assert whole_bound(42.3) == 43  # prices are whole
    assert whole_bound(43.0000000001) == 43  # dust of double precision
    assert whole_bound(-7.5) == -7
    assert whole_bound(float("-inf")) is None


def test_without_a_proven_bound_the_sum_of_all_savings_is_one():
    selection = select([-5, -7, 3], [count_row([0, 1], 1)], 100)
    assert settle(selection, np.array([False, False, False]), None, None).bound == 88


@BOTH
def test_whoever_watches_hears_prices_fall_and_bounds_rise_to_the_result(name):
    whole = problem(invented_choices(4, 14, seed=3))
    start = rule_of_thumb(whole, whole.nothing())
    told = []
    result = engine(name)(whole.selection, start, PROOF, told.append)
    assert [so_far.price for so_far in told] == sorted((s.price for s in told), reverse=True)
    assert [so_far.bound for so_far in told] == sorted(s.bound for s in told)
    assert told[0].price == whole.selection.price(start)
    assert told[-1].price == result.objective
    assert all(s.bound <= result.objective <= s.price for s in told)
    assert all(whole.selection.price(s.picked) == s.price for s in told)


def unproven(result, gap=0.0):
    return result.objective - result.bound > gap * abs(result.objective)


def test_auto_is_highs_where_that_is_enough_and_on_large_weeks():
    whole = problem(invented_choices(3, 8, seed=2))
    start = rule_of_thumb(whole, whole.nothing())
    found = engine("auto")(whole.selection, start, PROOF)
    assert (found.proven, found.solver) == (True, "highs")
    large = problem(invented_choices(10, 60, seed=1))
    assert len(large.selection.cost) > CP_SAT_UP_TO
    start = rule_of_thumb(large, large.nothing())
    stop = Stop(seconds=None, gap=0.0, steps=2)
    both = [engine(name)(large.selection, start, stop) for name in ("auto", "highs")]
    assert both[0].picked.tolist() == both[1].picked.tolist()
    assert unproven(both[0])


def test_auto_says_that_there_is_no_choice():
    impossible = select([1, 1], [count_row([0, 1], 2, 2), count_row([0, 1], 1)])
    with pytest.raises(NothingFound):
        engine("auto")(impossible, None, PROOF)
