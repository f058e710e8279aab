"""HiGHS, the stronger engine where rows are mostly 'one of these'.

Large problems go in stages: relax, pick by the relaxation, solve among the few columns that look
good, search neighbourhoods, then rule out by proof what cannot be in a better plan and solve what
is left.
"""

from collections.abc import Callable

import highspy
import numpy as np

from crewplan.scheduling.engines.best import Best
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.guided import guided
from crewplan.scheduling.engines.highs_run import Quiet, Watch, at_once, model, set_options
from crewplan.scheduling.engines.improving import improve
from crewplan.scheduling.engines.interface import (
    EngineResult,
    Tell,
    tell_nobody,
    whole_bound,
)
from crewplan.scheduling.engines.relaxation import Relaxation, narrowed, relaxation, widened
from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop

STAGES_FROM = 3000
"""Columns; with fewer one run after the relaxation is as fast."""

RELAXED_FROM = 300
"""Columns; with fewer one run is as fast without it."""

PROMISING = (0.06, 0.12)
"""Shares of the columns, by what they add to the relaxation, that are solved one after another.
With 2 % before them two of three weeks of 40 crews took longer to a good plan, and among 3.5 % 100
crews had none within 3 % of the others' (DEVELOPERS.md)."""

AT_LEAST = 1500
"""Columns of each: so many are solved in a tenth of a second, and fewer seldom have a good plan."""

NEAR = 0.004
"""Share of the price between plan and bound from which no more of them are solved by themselves: a
better plan comes out of the proof as soon as out of them."""

FIRST_SOLVES = 0.4
"""Share of the time that is left which each of these may take."""

SEARCH = 0.6
"""Share of the time that is left then which neighbourhoods may take."""

INTERIOR_FROM = 200_000
"""Columns; with more, an interior point is found in seconds where simplex takes minutes (240 stages
of weighted lateness, 223,291 columns: 6 s of the processor against over 30)."""

PROVED_UP_TO = 200_000
"""Columns that may be in a better choice: with more, the rest of the time goes into the search."""

_DUST = 1e-6


def relax(selection: Selection, stop: Stop) -> Relaxation | None:
    """The relaxation, by HiGHS; None where the time ran out first."""
    solver = Quiet()
    set_options(solver, stop)
    if len(selection.cost) >= INTERIOR_FROM:
        # prices of rows are all that is wanted, and any prove a bound: no corner is looked for
        solver.setOptionValue("solver", "ipm")
        solver.setOptionValue("run_crossover", "off")
    solver.passModel(model(selection, in_part=True))
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    found = solver.getSolution()
    return relaxation(selection, np.asarray(found.row_dual), np.asarray(found.col_value))


def _among(
    selection: Selection,
    best: Best,
    looked_at: Picked,
    stop: Stop,
    prove: Callable[[float], None] | None = None,
) -> EngineResult:
    """Solve among some columns, those of the best choice so far included, and offer the result."""
    kept = looked_at | best.picked
    kept[len(kept) - selection.always :] = True

    def offer(picked: Picked) -> None:
        best.offer(widened(kept, picked))

    small, watch = narrowed(selection, kept), Watch(offer, prove)
    found = at_once(small, best.picked[kept], stop, watch, probe=False)
    offer(found.picked)
    return found


def _promising(selection: Selection, best: Best, relaxed: Relaxation, effort: Effort) -> bool:
    """Solve among more and more of the columns; whether all of that was solved in its time."""
    order = np.argsort(relaxed.added, kind="stable")
    for columns in dict.fromkeys(max(AT_LEAST, int(share * len(order))) for share in PROMISING):
        stop = effort.left(FIRST_SOLVES)
        if effort.over or best.within(max(stop.gap, NEAR)):
            return True
        looked_at = np.zeros(len(order), dtype=np.bool_)
        looked_at[order[:columns]] = True
        found = _among(selection, best, looked_at, stop)
        effort.spend(found.steps)
        if found.objective - found.bound > stop.gap * abs(found.objective):
            return False
    return True


def _possible(best: Best, relaxed: Relaxation) -> Picked:
    """Columns that a cheaper choice may have."""
    return relaxed.bound + relaxed.added <= best.price + 1.0 + _DUST * abs(best.price)


def _prove(selection: Selection, best: Best, possible: Picked, effort: Effort) -> None:
    """Solve the whole problem without the columns that no cheaper choice has."""
    price = best.price

    def prove(bound: float) -> None:
        # a choice with a column that was left away costs more than the best did by then
        whole = whole_bound(bound)
        best.prove(None if whole is None else min(whole, price))

    found = _among(selection, best, possible, effort.left(), prove)
    effort.spend(found.steps)
    best.prove(min(found.bound, price))


def _relaxed(selection: Selection, best: Best, effort: Effort) -> Relaxation | None:
    """The relaxation, after its bound and the choice that it likes; None: no time was left."""
    relaxed = relax(selection, effort.left())
    if relaxed is not None:
        best.prove(whole_bound(relaxed.bound))
        best.offer(guided(selection, best.picked, relaxed))
    return relaxed


def in_stages(
    selection: Selection, start: Picked, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Solve a large problem in stages; the bound holds for the whole problem.

    Args:
        selection: the problem.
        start: a choice that keeps to all rows.
        stop: when to end.
        tell: hears of each better choice and bound.
    """
    effort, best = Effort(stop), Best(selection, start, tell)
    relaxed = _relaxed(selection, best, effort)
    if relaxed is None:
        return best.result(0)
    easy = _promising(selection, best, relaxed, effort)
    if not easy and selection.places is not None and not best.within(stop.gap):
        # neighbourhoods get further than a larger problem of the kind that took too long
        search = Effort(effort.left(SEARCH))
        improve(selection, selection.places, relaxed.added, best, search, stop.gap)
        effort.spend(search.taken)
    if not effort.over and not best.within(stop.gap):
        possible = _possible(best, relaxed)
        if selection.places is not None and int(possible.sum()) > PROVED_UP_TO:
            improve(selection, selection.places, relaxed.added, best, effort, stop.gap, again=True)
        else:
            _prove(selection, best, possible, effort)
    return best.result(effort.taken)


def in_one(
    selection: Selection, start: Picked, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Solve a small problem in one run among the columns that the relaxation does not rule out.

    Where the choice that the relaxation likes is good enough, as it often is while most stages
    stay, there is no run. Arguments as of `in_stages`.
    """
    effort, best = Effort(stop), Best(selection, start, tell)
    relaxed = _relaxed(selection, best, effort)
    if relaxed is None:
        return best.result(0)
    if not effort.over and not best.within(stop.gap):
        _prove(selection, best, _possible(best, relaxed), effort)
    return best.result(effort.taken)


def highs(
    selection: Selection, start: Picked | None, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Pick the cheapest choice with HiGHS.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if start is None or not selection.holds(start):
        return at_once(selection, start, stop)
    if len(selection.cost) < STAGES_FROM:
        if len(selection.cost) >= RELAXED_FROM:
            return in_one(selection, start, stop, tell)
        best = Best(selection, start, tell)
        watch = Watch(best.offer, lambda bound: best.prove(whole_bound(bound)))
        return at_once(selection, start, stop, watch)
    return in_stages(selection, start, stop, tell)
