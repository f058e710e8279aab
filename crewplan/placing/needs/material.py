"""Kit that not even this stage alone could get by its first day."""

from collections.abc import Mapping

import numpy as np

from crewplan.model.horizon import Horizon
from crewplan.model.readiness import Supply
from crewplan.placing.removals import Removal

_ROUNDING = 1e-9


def short_of_kit(kit: Mapping[str, float], supply: Supply, horizon: Horizon) -> list[Removal]:
    """Starts by which stock and arrivals do not hold the stage's kit, one removal for each item.

    On frozen days only what is on hand counts. Which of two stages gets a scarce item is the
    scheduler's to say.
    """
    found: list[Removal] = []
    for item, needed in kit.items():
        on_hand = supply.on_hand.get(item, 0.0)
        by_day = np.array(
            [
                on_hand
                + sum(
                    quantity
                    for arrives, quantity in supply.arrivals.get(item, ())
                    if arrives <= day and day not in horizon.frozen
                )
                for day in horizon.days
            ]
        )
        bad = by_day < needed - _ROUNDING
        if bad.any():
            there = by_day[bad].max()
            text = f"{item}: {needed:g} needed, {there:g} in stock or arriving by then"
            found.append(Removal("material", text, np.repeat(bad, 2)))
    return found
