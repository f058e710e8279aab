"""A crew is in one place; short visits may share a half-day as long as their time fits."""

from collections.abc import Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import numbered_capacity_rows
from crewplan.scheduling.selection import Row
from crewplan.scheduling.whole import PER_HOUR, need, supply

NAME = "crew's time"
KIND: ReasonKind = "capacity"


def _short_minutes(held: Columns) -> NDArray[np.int64]:
    """Of each placement that may share its half-day; 0: it takes all of it."""
    minutes = np.zeros(len(held.short_h), dtype=np.int64)
    may_share = ~np.isnan(held.short_h)
    if not may_share.any():
        return minutes
    lengths, which = np.unique(held.short_h[may_share], return_inverse=True)
    needed = [max(1, need(length, PER_HOUR)) for length in lengths.tolist()]
    minutes[may_share] = np.array(needed, dtype=np.int64)[which]
    return minutes


def rows(held: Columns) -> Iterator[Row]:
    """Minutes of each crew and half-day; a placement that shares with nobody takes them all."""
    crews, cells = held.choices.crews, len(held.choices.horizon.cells)
    whole = np.array(
        [max(1, supply(hours, PER_HOUR)) for hours in held.choices.half_day_h], dtype=np.int64
    )
    columns, taken = held.half_days
    short = _short_minutes(held)[columns]
    yield from numbered_capacity_rows(
        held.places.crew[columns] * cells + taken,
        columns,
        np.where(short > 0, short, whole[taken % 2]),
        whole[np.arange(len(crews) * cells) % 2],
        NAME,
        lambda thing: crews[thing // cells],
    )


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which crews are taken, and by what."""
    taken = (f"{crew} ({', '.join(stages)})" for crew, stages in clashes.items())
    return f"the crews that may are taken: {', '.join(taken)}"
