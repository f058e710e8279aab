"""A crew is in one place; short visits may share a half-day as long as their time fits."""

from collections.abc import Hashable, Iterator, Mapping

from crewplan.model.placement import ReasonKind
from crewplan.scheduling.columns import Columns
from crewplan.scheduling.rows import Use, capacity_rows
from crewplan.scheduling.selection import Row
from crewplan.scheduling.whole import PER_HOUR, need, supply

NAME = "crew's time"
KIND: ReasonKind = "capacity"


def rows(held: Columns) -> Iterator[Row]:
    """Minutes of each crew and half-day; a placement that shares with nobody takes them all."""
    most = tuple(max(1, supply(hours, PER_HOUR)) for hours in held.choices.half_day_h)
    capacity: dict[Hashable, int] = {}
    subjects: dict[Hashable, str] = {}
    for crew in held.choices.crews:
        for cell in held.choices.horizon.cells:
            capacity[crew, cell] = most[cell % 2]
            subjects[crew, cell] = crew

    def uses() -> Iterator[Use]:
        for column, placement in enumerate(held.placements):
            for cell in placement.cells:
                minutes = most[cell % 2]
                if placement.short_h is not None:
                    minutes = max(1, need(placement.short_h, PER_HOUR))
                yield (placement.crew, cell), column, minutes

    yield from capacity_rows(uses(), capacity, NAME, subjects)


def words(clashes: Mapping[str, tuple[str, ...]]) -> str:
    """Which crews are taken, and by what."""
    taken = (f"{crew} ({', '.join(stages)})" for crew, stages in clashes.items())
    return f"the crews that may are taken: {', '.join(taken)}"
