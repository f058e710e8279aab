"""From open hours to levels: how exposed the work may be, member by member and hour by hour."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.open_hours import OpenHours


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Members that see the same hours stand in one row.

    `level` [R, H]: 0 nobody works, 1 ground, 2 roof, 3 lift. `weight` [R]: members in each row;
    they add up to the denominator of shares.
    """

    level: NDArray[np.int8]
    weight: NDArray[np.int64]

    @property
    def members(self) -> int:
        """The denominator of shares."""
        return int(self.weight.sum())


def _distinct(level: NDArray[np.int8]) -> Levels:
    kept, weight = np.unique(level, axis=0, return_counts=True)
    return Levels(kept, weight.astype(np.int64))


def levels_of(hours: OpenHours, most_exposed: int) -> Levels:
    """Levels for a stage whose most exposed step needs `most_exposed` (1 ground, 2 roof, 3 lift).

    A more exposed kind of work is open only where the less exposed ones are too. Work on the ground
    alone is not held to the forecast: a value that is missing does not close it.
    """
    good = hours.hopeful[:1] if most_exposed == 1 else hours.good[:most_exposed]
    nested = np.logical_and.accumulate(good, axis=0)
    return _distinct(nested.sum(axis=0).astype(np.int8))
