"""What every engine takes and gives."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np

from crewplan.scheduling.selection import NOWHERE, Picked, Selection
from crewplan.scheduling.stop import Stop

SolverName = Literal["highs", "cp-sat"]


class NothingFound(Exception):
    """The engine stopped without a choice that keeps to all rows."""


@dataclass(frozen=True, slots=True, eq=False)
class EngineResult:
    """The best choice found and what is proven about it."""

    picked: Picked
    objective: int
    """Its price, recomputed exactly from whole numbers."""
    bound: int
    """No choice costs less."""
    proven: bool
    """Objective and bound meet: nothing cheaper exists."""
    steps: int = 0
    """Of the stop's steps: how many were taken."""
    solver: SolverName = "highs"
    """Which found or proved the last of it."""


@dataclass(frozen=True, slots=True, eq=False)
class SoFar:
    """What a search knows while it runs."""

    picked: Picked
    price: int
    """Of `picked`, exact."""
    bound: int
    """No choice costs less; never above the price."""

    @property
    def gap(self) -> float:
        """(price - bound) / max(|price|, one unit of currency), as that of a plan."""
        return (self.price - self.bound) / max(abs(self.price), 100)


Tell = Callable[[SoFar], None]
"""Hears of each better choice and each better bound as soon as there is one."""


def tell_nobody(_: SoFar) -> None:
    """For a search that nobody watches."""


class Engine(Protocol):
    """A problem, a choice to start from, when to stop, and who hears how it goes."""

    def __call__(
        self, selection: Selection, start: Picked | None, stop: Stop, tell: Tell = tell_nobody
    ) -> EngineResult:
        """Pick the cheapest choice.

        Raises:
            NothingFound: where the time ran out first, or no choice exists.
        """


_DUST = 1e-9
"""Relative error of a bound in double precision."""


def whole_bound(bound: float) -> int | None:
    """A bound in whole numbers that is surely no higher than the proven one allows.

    Prices are whole, so that a bound of 42.3 proves 43; the dust is taken off first.
    """
    if not math.isfinite(bound):
        return None
    return math.ceil(bound - _DUST * max(abs(bound), 1e3))


def least_of_all(selection: Selection) -> int:
    """A bound that needs no proof: each stage at its cheapest, as if nothing stood in its way."""
    saved = np.minimum(selection.cost, 0)
    if selection.places is None or len(saved) == 0:
        return selection.constant + int(saved.sum())
    stage = selection.places.stage
    placed = stage != NOWHERE
    of_stage = np.zeros(int(stage.max()) + 1, dtype=np.int64)
    np.minimum.at(of_stage, stage[placed], saved[placed])
    return selection.constant + int(of_stage.sum() + saved[~placed].sum())


def settle(
    selection: Selection,
    start: Picked | None,
    found: Picked | None,
    bound: int | None,
    steps: int = 0,
) -> EngineResult:
    """The better of the start and what was found, each checked against the rows and priced anew.

    An engine may return a worse choice than its start, or one that only nearly keeps to a row.

    Raises:
        NothingFound: where neither holds.
    """
    best: Picked | None = None
    for picked in (start, found):
        if (
            picked is not None
            and selection.holds(picked)
            and (best is None or selection.price(picked) < selection.price(best))
        ):
            best = picked
    if best is None:
        raise NothingFound("no choice keeps to all rows, or none was found in time")
    objective = selection.price(best)
    least = least_of_all(selection)
    proven_bound = min(objective, least if bound is None else max(bound, least))
    return EngineResult(best, objective, proven_bound, proven_bound == objective, steps)
