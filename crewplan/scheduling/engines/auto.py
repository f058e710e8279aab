"""Which engine for which size, from measurements: DEVELOPERS.md, 'Which engine'."""

from typing import Literal

from crewplan.scheduling.engines.interface import EngineResult, Tell, tell_nobody
from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop

CP_SAT_UP_TO = 800
"""Columns up to which CP-SAT proves the best plan at least as soon as HiGHS."""


def by_size(columns: int) -> Literal["highs", "cp-sat"]:
    """The solver for a problem of so many columns."""
    return "cp-sat" if columns <= CP_SAT_UP_TO else "highs"


def auto(
    selection: Selection, start: Picked | None, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Pick the cheapest choice with the engine that is quicker at this size.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    # each is heavy to load: only the one that is needed is
    if by_size(len(selection.cost)) == "cp-sat":
        from crewplan.scheduling.engines.cpsat import cpsat

        return cpsat(selection, start, stop, tell)
    from crewplan.scheduling.engines.highs import highs

    return highs(selection, start, stop, tell)
