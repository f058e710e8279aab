"""Which engine for which size, from measurements: DEVELOPERS.md, 'Which engine'.

HiGHS first, at any size. What it has not proven by half of the time, though it is small, is of the
kind on which CP-SAT was measured to be the stronger one (tight order and capacities).
"""

from dataclasses import replace

from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.highs import STAGES_FROM, highs
from crewplan.scheduling.engines.interface import (
    EngineResult,
    NothingFound,
    SoFar,
    Tell,
    settle,
    tell_nobody,
)
from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop

CP_SAT_UP_TO = STAGES_FROM
"""Columns; on larger weeks CP-SAT got nowhere in the time in which HiGHS was done."""
_FIRST = 0.5
"""Share of the stop that HiGHS gets before CP-SAT takes over."""


def _first(
    selection: Selection, start: Picked | None, stop: Stop, tell: Tell
) -> EngineResult | None:
    try:
        return highs(selection, start, stop, tell)
    except NothingFound:
        return None


def auto(
    selection: Selection, start: Picked | None, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Pick the cheapest choice with HiGHS, and where that is not enough, go on with CP-SAT.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if len(selection.cost) > CP_SAT_UP_TO:
        return highs(selection, start, stop, tell)
    effort = Effort(stop)
    first = _first(selection, start, effort.left(_FIRST), tell)
    if first is not None:
        effort.spend(first.steps)
        if first.objective - first.bound <= stop.gap * abs(first.objective) or effort.over:
            return first
    from crewplan.scheduling.engines.cpsat import cpsat  # heavy to load, and seldom needed

    if first is None:
        return cpsat(selection, start, effort.left(), tell)

    proven = first.bound

    def both(known: SoFar) -> None:
        tell(replace(known, bound=max(known.bound, proven)))

    second = cpsat(selection, first.picked, effort.left(), both)
    effort.spend(second.steps)
    found = settle(
        selection, first.picked, second.picked, max(first.bound, second.bound), effort.taken
    )
    better = second.objective < first.objective or second.bound > first.bound
    return replace(found, solver="cp-sat" if better else first.solver)
