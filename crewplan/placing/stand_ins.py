"""The same placements with another kit, where an item may stand in for one that runs short."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from crewplan.model.parts import dearer_by
from crewplan.model.placement import Placement, altered
from crewplan.placing.needs.material import short_of_kit
from crewplan.placing.prices import cents
from crewplan.placing.removals import Removal
from crewplan.placing.site import Known

SUBSTITUTE = "substitute"
"""The part of the price: what stands in costs more than what it stands in for."""


def _there(known: Known, kit: Mapping[str, float]) -> NDArray[np.bool_]:
    """Starts by which stock and arrivals hold a kit, by half-day of the horizon."""
    there = np.ones(len(known.horizon.cells), dtype=np.bool_)
    for removal in short_of_kit(kit, known.supply, known.horizon):
        there &= ~removal.starts
    return there


def without_any_kit(known: Known, stage: str) -> list[Removal]:
    """Starts by which the stage gets neither its own kit nor one in which something stands in."""
    if not known.supply.judged:
        return []
    others = np.zeros(len(known.horizon.cells), dtype=np.bool_)
    for kit, _ in known.stand_ins.get(stage, ()):
        others |= _there(known, kit)
    own = short_of_kit(known.kits.get(stage, {}), known.supply, known.horizon)
    left = (replace(removal, starts=removal.starts & ~others) for removal in own)
    return [removal for removal in left if removal.starts.any()]


def with_stand_ins(known: Known, stage: str, placements: Iterable[Placement]) -> list[Placement]:
    """Each placement with its own kit, where that is there, and with each other that is."""
    stand_ins = known.stand_ins.get(stage, ())
    if not stand_ins or not known.supply.judged:
        return list(placements)
    others = [(kit, cents(dearer), _there(known, kit).tolist()) for kit, dearer in stand_ins]
    own_there = _there(known, known.kits.get(stage, {})).tolist()
    found: list[Placement] = []
    for placement in placements:
        start = placement.start
        if own_there[start]:
            found.append(placement)
        for kit, dearer, there in others:
            if there[start]:
                other = dearer_by(placement, SUBSTITUTE, dearer) if dearer else placement
                found.append(altered(other, kit=kit))
    return found
