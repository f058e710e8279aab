"""HiGHS, the stronger engine where rows are mostly 'one of these'.

Large problems go in stages: relax, pick by the relaxation, solve among the few columns that look
good, then rule out by proof what cannot be in a better plan and solve what is left.
"""

from dataclasses import dataclass, replace
from time import monotonic

import highspy
import numpy as np

from crewplan.scheduling.engines.highs_run import Quiet, at_once, model, set_options
from crewplan.scheduling.engines.interface import EngineResult, settle, whole_bound
from crewplan.scheduling.engines.relaxation import Relaxation, narrowed, relaxation, widened
from crewplan.scheduling.fill import fill
from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop

STAGES_FROM = 3000
"""Columns; with fewer one run is as fast."""

PROMISING = 0.12
"""Share of the columns, by what they add to the relaxation, that the first solve looks at."""

FIRST_SOLVE = 0.4
"""Share of the time that is left which the first solve may take."""

_DUST = 1e-6


@dataclass(frozen=True, slots=True)
class _Clock:
    """Time left of a stop that has seconds; without seconds it reads no clock."""

    stop: Stop
    until: float | None

    def left(self, share: float = 1.0) -> Stop:
        if self.until is None:
            return self.stop
        return replace(self.stop, seconds=max(0.0, (self.until - monotonic()) * share))


def relax(selection: Selection, stop: Stop) -> Relaxation | None:
    """The relaxation, by HiGHS; None where the time ran out first."""
    solver = Quiet()
    set_options(solver, stop)
    solver.passModel(model(selection, in_part=True))
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    found = solver.getSolution()
    return relaxation(selection, np.asarray(found.row_dual), np.asarray(found.col_value))


def _guided(selection: Selection, start: Picked, relaxed: Relaxation) -> Picked:
    """The better of the start and a choice filled up in the order that the relaxation likes."""
    order = np.lexsort((relaxed.added, -relaxed.part))
    wanted = order[selection.cost[order] < 0]
    filled = fill(selection, np.zeros_like(start), wanted)
    better = selection.holds(filled) and selection.price(filled) < selection.price(start)
    return filled if better else start


def _among(selection: Selection, best: Picked, looked_at: Picked, stop: Stop) -> EngineResult:
    """Solve among some columns, those of the best choice so far included."""
    kept = looked_at | best
    found = at_once(narrowed(selection, kept), best[kept], stop)
    return replace(found, picked=widened(kept, found.picked))


def in_stages(selection: Selection, start: Picked, stop: Stop) -> EngineResult:
    """Solve a large problem in stages; the bound holds for the whole problem."""
    clock = _Clock(stop, None if stop.seconds is None else monotonic() + stop.seconds)
    relaxed = relax(selection, clock.left())
    if relaxed is None:
        return at_once(selection, start, clock.left())
    best = _guided(selection, start, relaxed)
    promising = np.argsort(relaxed.added, kind="stable")[: int(PROMISING * len(best))]
    looked_at = np.zeros_like(best)
    looked_at[promising] = True
    best = _among(selection, best, looked_at, clock.left(FIRST_SOLVE)).picked
    price = selection.price(best)
    if price - relaxed.bound <= stop.gap * abs(price):
        return settle(selection, best, None, whole_bound(relaxed.bound))
    # A choice with any other column costs more than the best so far.
    possible = relaxed.bound + relaxed.added <= price + 1.0 + _DUST * abs(price)
    found = _among(selection, best, possible, clock.left())
    bound = max(min(found.bound, price), whole_bound(relaxed.bound) or found.bound)
    return settle(selection, best, found.picked, bound)


def highs(selection: Selection, start: Picked | None, stop: Stop) -> EngineResult:
    """Pick the cheapest choice with HiGHS.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if start is None or len(selection.cost) < STAGES_FROM:
        return at_once(selection, start, stop)
    return in_stages(selection, start, stop)
