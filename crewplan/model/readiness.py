"""What stages wait for, how likely it is there by a day, and what the store holds."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from crewplan.model.waiting_rows import RequirementState


class NeedChance(NamedTuple):
    """One requirement of a stage; `p` is over the days asked for, and only falls with a lapse."""

    kind: str
    state: RequirementState
    p: NDArray[np.float64]
    note: str
    """What the state leaves unsaid: `no record`, since when, when it is expected."""
    good_until: date | None = None
    """Last good day of a grant; None: it does not lapse, or is none."""

    def lapsed_by(self, day: date) -> bool:
        """Granted, and no longer good on the day."""
        return self.good_until is not None and self.good_until < day


@dataclass(frozen=True, slots=True, eq=False)
class StageReadiness:
    """All that a stage waits for but material from stock; arrays are over the days asked for."""

    stage: str
    p: NDArray[np.float64]
    """Chance that all is in hand by that day; kinds taken as independent."""
    granted: NDArray[np.bool_]
    """All in hand by that day for certain."""
    holds: tuple[str, ...]
    """By day: the requirement that holds the stage most; empty where nothing does."""
    states: tuple[NeedChance, ...]
    calls: tuple[str, ...] = ()
    """Calls to make that stop nothing, such as `customer_confirmed`."""


@dataclass(frozen=True, slots=True)
class Supply:
    """What the store has and gets, in stocked units by item."""

    on_hand: Mapping[str, float]
    arrivals: Mapping[str, tuple[tuple[date, float], ...]]
    """Day and quantity, ascending."""
    judged: bool
    """False where the folder has neither stock nor arrivals: material stops nothing then."""
    notes: tuple[str, ...] = ()
    """What is not judged, in words."""
