"""A search in a process of its own: whatever ends it, the best so far is the answer."""

import os
import signal
import sys
import time
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "scheduling"))

import solves_for_tests
from invented_choices import invented_choices

from crewplan.running.looks import Failed
from crewplan.running.solver_process import GRACE_S, SolverProcess
from crewplan.running.solving import Solving
from crewplan.running.watching import Watch
from crewplan.scheduling import Stop
from crewplan.scheduling.engines import engine
from crewplan.scheduling.problem import problem
from crewplan.scheduling.rule_of_thumb import rule_of_thumb

WHOLE = problem(invented_choices(10, 50, seed=3))
START = rule_of_thumb(WHOLE, WHOLE.nothing())
LONG = Stop(seconds=60, gap=0.0)
SLOW = "cp-sat"
"""The engine that does not prove the best plan of this week within a minute."""


def solve(watch=Watch(), stop=LONG, name=SLOW, before=lambda process: None):  # noqa: B008
    begun = time.monotonic()
    with SolverProcess(watch) as process:
        process.start()
        before(process)
        result = process.engine(name)(WHOLE.selection, START, stop)
    return result, process, time.monotonic() - begun


def until_gone(pid, seconds=20):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.05)
    return False


@pytest.mark.parametrize("name", ["highs", "cp-sat"])
def test_a_search_by_steps_is_the_same_there_as_here(name):
    stop = Stop(seconds=None, gap=0.0, steps=20, seed=5)
    there, process, _ = solve(stop=stop, name=name)
    here = engine(name)(WHOLE.selection, START, stop)
    assert there.picked.tolist() == here.picked.tolist()
    assert (there.bound, there.steps) == (here.bound, here.steps)
    assert process.ended_by == ""


def test_whoever_says_enough_gets_the_best_that_was_told():
    heard = []
    result, process, took = solve(Watch(heard.append, lambda: len(heard) > 3))
    assert process.ended_by == "person"
    assert took < 30
    assert result.objective == min(known.price for known in heard)
    assert result.objective < WHOLE.selection.price(START)
    assert result.bound == max(known.bound for known in heard)
    assert WHOLE.selection.holds(result.picked)


def test_a_solver_that_is_killed_leaves_its_best_behind():
    heard, pid = [], []

    def tell(known):
        heard.append(known)
        if len(heard) == 4:
            os.kill(pid[0], signal.SIGKILL)

    result, process, _ = solve(Watch(tell), before=lambda process: pid.append(process.pid))
    assert process.ended_by == "itself"
    assert result.objective == min(known.price for known in heard)
    assert WHOLE.selection.holds(result.picked)


def test_a_solver_that_never_came_up_leaves_the_start():
    result, process, _ = solve(before=lambda process: os.kill(process.pid, signal.SIGKILL))
    assert process.ended_by == "itself"
    assert result.picked.tolist() == START.tolist()


def test_the_limit_holds_even_where_the_solver_does_not_look_at_the_clock():
    heard, pid = [], []

    def tell(known):
        heard.append((known, time.monotonic()))
        if len(heard) == 1:
            os.kill(pid[0], signal.SIGSTOP)  # as in presolve: it works on and hears nothing

    limit = 3.0
    stop = Stop(seconds=limit, gap=0.0)
    result, process, _ = solve(Watch(tell), stop, before=lambda process: pid.append(process.pid))
    assert process.ended_by == "limit"
    assert time.monotonic() - heard[0][1] < limit + GRACE_S + 20.0  # and not for ever
    assert result.objective <= min(known.price for known, _ in heard)


def test_a_search_ends_at_the_gap_that_was_asked_for():
    loose, _, _ = solve(stop=Stop(seconds=60, gap=0.2), name="highs")
    tight, _, _ = solve(stop=Stop(seconds=60, gap=0.001), name="highs")
    assert tight.objective - tight.bound <= 0.001 * tight.objective
    assert loose.objective - loose.bound <= 0.2 * loose.objective
    assert loose.objective - loose.bound > tight.objective - tight.bound


def test_ctrl_c_gives_up_or_keeps_as_it_was_agreed():
    def interrupted():
        raise KeyboardInterrupt

    kept, process, _ = solve(Watch(stopped=interrupted, ctrl_c_keeps=True))
    assert process.ended_by == "person"
    assert kept.objective <= WHOLE.selection.price(START)
    with pytest.raises(KeyboardInterrupt):
        solve(Watch(stopped=interrupted))
    assert until_gone(process.pid)


def outcome(solving, seconds=60):
    end = time.monotonic() + seconds
    while (found := solving.result()) is None:
        assert time.monotonic() < end, "it took too long"
        time.sleep(0.02)
    return found


def test_a_plan_on_its_way_tells_how_far_it_is_and_can_be_stopped():
    solving = Solving(solves_for_tests.price, 10, 50)
    seen = set()
    while len(seen) < 2 and solving.result() is None:
        now = solving.progress()
        if now is not None:
            assert now.bound <= now.price
            seen.add(now.price)
        time.sleep(0.02)
    solving.stop()
    price, thumb, ended_by = outcome(solving)
    assert (ended_by, price < thumb) == ("person", True)
    assert price <= min(seen)
    assert solving.seconds < 55


def test_a_plan_on_its_way_that_fails_says_so_in_one_sentence():
    assert outcome(Solving(solves_for_tests.rejected)) == Failed("this week cannot be planned")
    assert outcome(Solving(solves_for_tests.died)) == Failed("the process that planned ended early")


def test_a_solver_ends_with_whoever_started_it():
    solving = Solving(solves_for_tests.asleep_beside_a_solver)
    while solving.progress() is None:
        time.sleep(0.02)
    pid = solving.progress().price
    assert not until_gone(pid, 0.1)
    solving.end()
    assert until_gone(pid)
    assert solving.result() == Failed("it was given up")
