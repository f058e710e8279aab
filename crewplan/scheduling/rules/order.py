"""A stage starts after the stages before it have ended, and whole days later where asked."""

from collections.abc import Iterator, Mapping

import numpy as np

from crewplan.model.horizon import Horizon
from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import order_rows
from crewplan.scheduling.selection import Row

NAME = "order"
KIND: ReasonKind = "order"


def latest_end(horizon: Horizon, start: int, gap_days: int) -> int:
    """Last half-day in which the stage before may end; -1: none in the horizon."""
    if gap_days == 0:
        return start - 1
    begins = horizon.day_of(start)
    for cell in range(start - 1, -1, -1):
        if (begins - horizon.day_of(cell)).days > gap_days:
            return cell
    return -1


def rows(held: Columns) -> Iterator[Row]:
    """For each stage and each one before it that is still to place."""
    horizon = held.choices.horizon
    latest_of = {
        gap_days: np.array(
            [latest_end(horizon, start, gap_days) for start in horizon.cells], dtype=np.int64
        )
        for gap_days in {stage.gap_days for stage in held.choices.stages}
    }
    for stage in held.choices.stages:
        after = held.of_stage[stage.stage]
        latest = latest_of[stage.gap_days][held.places.first[after]]
        for forerunner in stage.after:
            before = held.of_stage.get(forerunner)
            if before is None:
                before = np.zeros(0, dtype=np.int64)
            yield from order_rows(before, held.ends[before], after, latest, NAME, forerunner)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which stages have not ended in time, and which that follow could not start any more."""
    before = [stage for stage, followers in clashes.items() if not followers]
    late_for = dict.fromkeys(name for followers in clashes.values() for name in followers)
    told = [f"has not ended in time: {', '.join(before)}"] if before else []
    told += [f"too late for what follows: {', '.join(late_for)}"] if late_for else []
    return "; ".join(told)
