"""What every engine takes and gives."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop


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


Engine = Callable[[Selection, Picked | None, Stop], EngineResult]
"""A problem, a choice to start from, and when to stop. Raises NothingFound."""

_DUST = 1e-9
"""Relative error of a bound in double precision."""


def whole_bound(bound: float) -> int | None:
    """A bound in whole numbers that is surely no higher than the proven one allows.

    Prices are whole, so that a bound of 42.3 proves 43; the dust is taken off first.
    """
    if not math.isfinite(bound):
        return None
    return math.ceil(bound - _DUST * max(abs(bound), 1e3))


def settle(
    selection: Selection, start: Picked | None, found: Picked | None, bound: int | None
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
    least = selection.constant + int(selection.cost[selection.cost < 0].sum())
    proven_bound = min(objective, least if bound is None else max(bound, least))
    return EngineResult(best, objective, proven_bound, proven_bound == objective)
