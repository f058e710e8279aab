"""Lending people, as a second pass over a plan in which nobody is lent.

The plan without lending is cheap to find and always possible, so that the search for a cheaper one
with lending begins there, and ends there where it finds none.
"""

from dataclasses import replace

import numpy as np

from crewplan.scheduling.clashes import clashes
from crewplan.scheduling.engines import Engine
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.relaxation import narrowed, widened
from crewplan.scheduling.evenness import Even
from crewplan.scheduling.keeping import Kept
from crewplan.scheduling.selection import Picked

LENDING = "lending"
"""The part of the whole plan's price."""

FIRST_PASS = 0.4
"""Share of the time that the plan without lending may take."""


def from_without_lending(
    kept: Kept, thumb: Picked, even: Even, solve: Engine, effort: Effort
) -> Picked:
    """The best plan found without lending, beyond what is kept; never dearer than `thumb`.

    Args:
        kept: the problem with lending, and what stays as published (with people lent there).
        thumb: the rule of thumb's plan in it.
        even: the problem with the price of uneven hours.
        solve: the engine.
        effort: what the whole search may take; a share of it is spent.
    """
    held = kept.whole.held
    alone = [not p.joined and not p.lent_away for p in held.placements]
    looked_at = np.ones(len(even.selection.cost), dtype=np.bool_)
    looked_at[: len(held)] = kept.seated
    looked_at[: len(alone)] |= alone
    beside = len(even.selection.cost) - len(held)
    small = replace(narrowed(even.selection, looked_at), always=beside)
    start = even.stretched(thumb)[looked_at]
    result = solve(small, start, effort.left(FIRST_PASS))
    effort.spend(result.steps)
    return even.columns(widened(looked_at, result.picked))


def fill_with_loans(even: Even, picked: Picked) -> Picked:
    """`picked` and each placement that fits with what it needs lent, and saves money with that."""
    whole = even.whole
    while True:
        seen, placed = clashes(whole, picked), whole.stages(picked)
        for column, placement in enumerate(whole.held.placements):
            if not placement.joined or placement.stage in placed or seen.cost(column) >= 0:
                continue
            more = picked.copy()
            more[whole.held.together(column, picked)] = True
            if not seen.rows(column) and even.price(more) < even.price(picked):
                break
        else:
            return picked
        picked = more
