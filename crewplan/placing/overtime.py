"""Placements with overtime: further choices, where working on saves half-days."""

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import days_of
from crewplan.placing.crew_choices import CrewChoices
from crewplan.placing.fit_line import Fitted
from crewplan.placing.needs.people import DayFault

DUST_H = 1e-6


def fill_overtime(
    choices: CrewChoices,
    regular: Fitted | None,
    late: Fitted,
    faults: list[DayFault],
    good: NDArray[np.bool_],
) -> None:
    """Add placements from starts at which overtime saves half-days, or lets the stage fit at all.

    On each day whose afternoon is the placement's and on which it does not end, all is worked that
    may be; on its last day as much as it is expected to need.

    Args:
        choices: of a stage and a crew, with its plain placements.
        regular: fits along the crew's time line; None: its shift is too short for the drives.
        late: along the one with overtime.
        faults: the crew's, by day.
        good: starts that neither stage nor crew takes away.
    """
    cells = np.array(choices.late_line.cells, dtype=np.int64)
    without = {} if regular is None else _last_of(choices, regular)
    choices.explain(late, choices.late_line, good & _only_late(choices))
    for i in np.flatnonzero(good[cells[late.position]]):
        last = int(late.found.last[i])
        own = tuple(int(c) for c in cells[late.position[i] : last + 1]) if last >= 0 else ()
        if not own or own[-1] >= without.get(own[0], own[-1] + 1):
            continue
        days = days_of(own)
        if choices.broken_by(faults, own, days):
            continue
        over_h = float(late.found.over_h[i]) + sum(
            choices.site.shifts[day].over_h * int(choices.crew.count[day])
            for day in days[:-1]
            if 2 * day + 1 in own
        )
        if over_h > DUST_H:
            found = choices.placement(own, days, late, int(i), round(over_h, 6))
            choices.placements.append(found)


def _last_of(choices: CrewChoices, regular: Fitted) -> dict[int, int]:
    """By first half-day, the last one of the placement without overtime."""
    plain = choices.line.cells
    return {
        plain[first]: plain[last]
        for first, last in zip(regular.position, regular.found.last, strict=True)
        if last >= 0
    }


def _only_late(choices: CrewChoices) -> NDArray[np.bool_]:
    """Half-days in which the drives fit with overtime alone; the shift's own are explained."""
    line = choices.line
    own = [cell for cell, may in zip(line.cells, line.may_start, strict=True) if may]
    return ~choices.mask(own)
