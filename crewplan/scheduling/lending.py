"""Lending people, as a second pass over a plan in which nobody is lent.

The plan without lending is cheap to find and always possible, so that the search for a cheaper one
with lending begins there, and ends there where it finds none.
"""

import numpy as np

from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.engines import Engine
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.relaxation import narrowed, widened
from crewplan.scheduling.keeping import Kept
from crewplan.scheduling.problem import Problem
from crewplan.scheduling.selection import Picked

LENDING = "lending"
"""The part of the whole plan's price."""

FIRST_PASS = 0.4
"""Share of the time that the plan without lending may take."""


def _nobody_lent(whole: Problem) -> Picked:
    """Columns of placements that need nobody lent, neither to the crew nor away."""
    alone = [not p.joined and not p.lent_away for p in whole.held.placements]
    return np.array([*alone, *(False for _ in whole.held.loans)], dtype=np.bool_)


def from_without_lending(kept: Kept, thumb: Picked, solve: Engine, effort: Effort) -> Picked:
    """The best plan found without lending, beyond what is kept; never dearer than `thumb`.

    Args:
        kept: the problem with lending, and what stays as published (with people lent there).
        thumb: the rule of thumb's plan in it.
        solve: the engine.
        effort: what the whole search may take; a share of it is spent.
    """
    whole = kept.whole
    looked_at = _nobody_lent(whole) | kept.seated
    result = solve(narrowed(whole.selection, looked_at), thumb[looked_at], effort.left(FIRST_PASS))
    effort.spend(result.steps)
    return widened(looked_at, result.picked)


def fill_with_loans(whole: Problem, picked: Picked) -> Picked:
    """`picked` and each placement that fits with what it needs lent, and saves money with that."""
    while True:
        seen, placed = clashes(whole, picked), whole.stages(picked)
        wanting = (
            column
            for column, p in enumerate(whole.held.placements)
            if p.joined and p.stage not in placed
            if seen.cost(column) < 0 and not seen.rows(column)
        )
        column = next(wanting, None)
        if column is None:
            return picked
        picked = picked.copy()
        picked[whole.held.together(column, picked)] = True
