"""Days on which requests are granted, drawn from the record of past ones."""

from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.readiness.waits import Waits

Floats = NDArray[np.float64]

_ROUNDING = 1e-12


def granted_on(waits: Waits, asked_on: Floats, today: int, chance: Floats) -> Floats:
    """Ordinals of the days of the answers; infinite: not within what the record knows.

    A request that is out already has waited until today and not been answered: the draw is from
    the waits that were longer than that.

    Args:
        waits: the record of the kind with whoever is asked.
        asked_on: [D] ordinals of dates; infinite where it is never asked for.
        today: ordinal.
        chance: [D] uniform on 0 to 1.
    """
    found = np.full(len(asked_on), np.inf)
    for asked in np.unique(asked_on[np.isfinite(asked_on)]).astype(np.int64):
        which = np.flatnonzero(asked_on == asked)
        waited = max(0, int(waits.clock.between(int(asked), today)))
        still = float(waits.still_waiting(np.array(waited)))
        # the first day on which the share still waiting is down to the drawn one
        lead = np.searchsorted(-waits.by_day, -still * (1 - chance[which]) - _ROUNDING)
        for days in np.unique(lead[lead < len(waits.by_day)]):
            reached = waits.clock.reached(date.fromordinal(int(asked)), int(max(days, waited)))
            found[which[lead == days]] = reached.toordinal()
    return found
