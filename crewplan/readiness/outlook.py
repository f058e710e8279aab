"""All that a stage waits for, material included, by day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.readiness import StageReadiness
from crewplan.readiness.dates import Dates, dates
from crewplan.readiness.needs import KIT
from crewplan.readiness.shortages import Missing

SHORT, ARRIVING, NOT_DONE, IN_HAND = "short", "arriving", "not done", "granted"
"""States beside those of requirements: kit missing, kit not in stock yet on a frozen day, a stage
before an inspection; and of a stage that nothing holds."""

_SHORT, _ARRIVING = (KIT, SHORT), (KIT, ARRIVING)


@dataclass(frozen=True, slots=True, eq=False)
class Outlook:
    """One stage over D calendar days."""

    stage: str
    p: NDArray[np.float64]
    """[D] chance that all is in hand by then, arrivals counted from their day; never falls."""
    ready: NDArray[np.bool_]
    """[D] all in hand for certain; on a frozen day the kit is in stock, not on its way."""
    holds: tuple[str, ...]
    """[D] the requirement, `kit` or stage before it that holds it most; empty where ready."""
    state: tuple[str, ...]
    """[D] where that stands."""
    dates: Dates


def outlook(
    waits: StageReadiness,
    missing: Sequence[Missing],
    days: tuple[date, ...],
    frozen: frozenset[date],
    before: Sequence[str] = (),
) -> Outlook:
    """Requirements and kit of one stage together.

    Args:
        waits: its requirements over `days`.
        missing: its kit over `days`.
        days: ascending.
        frozen: days on which only what is on hand counts.
        before: stages that an inspection needs and that are not done. The chance leaves them out,
            as the plan's does (their order is the plan's to keep), but it is not ready.
    """
    is_frozen = np.zeros(len(days), np.bool_)
    is_frozen[[days.index(day) for day in frozen if day in days]] = True
    short, not_in_stock = np.zeros(len(days), np.bool_), np.zeros(len(days), np.bool_)
    for item in missing:
        short |= item.by_day > 0
        not_in_stock |= is_frozen & (item.in_stock > 0)
    nothing = (before[0], NOT_DONE) if before else ("", IN_HAND)
    told = [*((need.kind, need.state) for need in waits.states), nothing, _SHORT, _ARRIVING]
    none = len(waits.states)
    code_of = {need.kind: code for code, need in enumerate(waits.states)} | {"": none}
    held = np.array(list(map(code_of.__getitem__, waits.holds)), dtype=np.int64)
    never = np.stack([*(need.p <= 0 for need in waits.states), np.zeros(len(days), np.bool_)])
    held_for_good = never[held, np.arange(len(days))]
    held = np.where(not_in_stock & (held == none), none + 2, held)
    codes = np.where(short & ~held_for_good, none + 1, held).tolist()
    p = np.where(short, 0.0, waits.p)
    ready = waits.granted & ~short & ~not_in_stock & (not before)
    return Outlook(
        waits.stage,
        p,
        ready,
        tuple(map([kind for kind, _ in told].__getitem__, codes)),
        tuple(map([state for _, state in told].__getitem__, codes)),
        dates(p, days),
    )
