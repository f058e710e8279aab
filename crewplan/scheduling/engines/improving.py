"""Large-neighbourhood search: free some stages, solve for them, keep what is cheaper, again.

Method: P. Shaw, 'Using constraint programming and local search methods to solve vehicle routing
problems', 1998; here each neighbourhood is solved by HiGHS among the columns that look good.
"""

from dataclasses import dataclass, replace
from itertools import cycle

import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from crewplan.scheduling.engines.best import Best
from crewplan.scheduling.engines.effort import Effort
from crewplan.scheduling.engines.highs_run import at_once
from crewplan.scheduling.engines.neighbourhoods import KINDS, cheapest, freed, standing
from crewplan.scheduling.selection import NO_LOWER, NOWHERE, Picked, Places, Selection

SHARES = (0.06, 0.12, 0.25, 1.0)
"""Of the columns, by what they add to the relaxation: where the search looks, one after another."""
FRUITLESS = 24
"""Neighbourhoods in a row that gave nothing, after which it looks further."""
A_ROUND_S, A_ROUND_STEPS = 2.0, 40
"""Most that one neighbourhood takes: seconds, or nodes where steps are counted."""
_LEAST_SIZE, _FIRST_SHARE = 6, 0.15
_GROW, _SHRINK = 1.1, 0.8
_LARGEST = 4000
"""Columns of a neighbourhood: with more, a round's time goes into presolve."""


@dataclass(frozen=True, slots=True, eq=False)
class _Searched:
    """A problem as the search looks at it."""

    selection: Selection
    places: Places
    by_column: sparse.csc_array
    stages: int

    def around(self, best: Picked, columns: NDArray[np.intp]) -> tuple[Selection, Picked]:
        """The problem of those columns while the rest of the choice stays; and which stay."""
        selection = self.selection
        stays = best.copy()
        stays[columns] = False
        room = selection.activity(stays)
        part = sparse.csr_array(self.by_column[:, columns])
        rows = np.flatnonzero(np.diff(part.indptr))
        lower = selection.lower[rows]
        small = Selection(
            selection.cost[columns],
            selection.price(stays),
            part[rows],
            np.where(lower == NO_LOWER, lower, lower - room[rows]),
            selection.upper[rows] - room[rows],
        )
        return small, stays


def _pool(
    places: Places, added: NDArray[np.float64], share: float, best: Picked
) -> NDArray[np.intp]:
    pool = best.copy()
    pool[np.argsort(added, kind="stable")[: int(share * len(added))]] = True
    pool |= places.stage == NOWHERE
    return np.flatnonzero(pool)


class _Sizes:
    """How many stages each kind of neighbourhood frees: more where a round is soon solved."""

    def __init__(self, stages: int) -> None:
        self._most = stages
        self._of = [max(_LEAST_SIZE, int(_FIRST_SHARE * stages))] * len(KINDS)

    def __getitem__(self, kind: int) -> int:
        return self._of[kind]

    def change(self, kind: int, factor: float) -> None:
        size = round(self._of[kind] * factor + 0.01)
        self._of[kind] = min(self._most, max(_LEAST_SIZE, size))


def improve(
    selection: Selection,
    places: Places,
    added: NDArray[np.float64],
    best: Best,
    effort: Effort,
    gap: float,
    *,
    again: bool = False,
) -> None:
    """Look for cheaper choices until the gap is reached, nothing more is found or effort is over.

    Args:
        selection: the problem.
        places: of its columns.
        added: what each column adds to the relaxation at least.
        best: where to begin; what is found is offered to it.
        effort: what may be spent.
        gap: (price - bound) / price that is good enough.
        again: begin anew where nothing more is found, for as long as there is effort.
    """
    dice = np.random.default_rng(effort.left().seed)
    stages = int(places.stage.max()) + 1
    least = cheapest(selection.cost, places, stages)
    searched = _Searched(selection, places, sparse.csc_array(selection.matrix), stages)
    sizes = _Sizes(stages)
    for share in cycle(SHARES) if again else SHARES:
        if effort.over or best.within(gap):
            return
        pool = _pool(places, added, share, best.picked)
        near = places.some(pool)
        fruitless = turn = 0
        while fruitless < FRUITLESS and not effort.over and not best.within(gap):
            kind, turn = turn % len(KINDS), turn + 1
            now = standing(places, best.picked, selection.cost, least)
            if len(now.placed) == 0:
                return
            free = freed(KINDS[kind](now, near, dice), now, sizes[kind], dice)
            there = now.column[free]
            # what is of no stage is always free: where others still need it, rows hold it
            looked_at = np.isin(near.stage, free) | (near.stage == NOWHERE)
            columns = np.union1d(pool[looked_at], there[there != NOWHERE])
            small, stays = searched.around(best.picked, columns)
            left = effort.left(seconds=A_ROUND_S, steps=A_ROUND_STEPS)
            left = replace(left, gap=gap / 10, threads=1)
            found = at_once(small, best.picked[columns], left, probe=False)
            effort.spend(found.steps)
            stays[columns] = found.picked
            fruitless = 0 if best.offer(stays) else fruitless + 1
            soon = found.objective - found.bound <= gap * abs(found.objective)
            fits = len(columns) <= _LARGEST
            sizes.change(kind, _GROW if soon and fits else _SHRINK)
            if soon and len(free) == stages:
                break  # all of it was free: nothing more is to be found here
