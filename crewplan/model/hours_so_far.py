"""Sums of the hours that were written down, so that nobody has to add up years of rows."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from crewplan.model.work_rows import HoursWorked

_MICRO = 1_000_000


@dataclass(frozen=True, slots=True)
class HoursSoFar:
    """Whole millionths of an hour, so that sums do not depend on the order of rows.

    Keys are a stage or a person, and a cause; an empty cause is productive work.
    """

    of_stages: Mapping[tuple[str, str], int]
    """Of stages that are asked for; others are left out."""
    of_people: Mapping[tuple[str, str], int]
    """Of everybody who ever wrote hours, on whatever stage."""


def hours_of(micro_h: int) -> float:
    """Person-hours of millionths of them."""
    return micro_h / _MICRO


def micro_of(hours: float) -> int:
    """Millionths of an hour, rounded."""
    return round(hours * _MICRO)


def hours_so_far(rows: Iterable[HoursWorked]) -> HoursSoFar:
    """Sums of rows."""
    of_stages: Counter[tuple[str, str]] = Counter()
    of_people: Counter[tuple[str, str]] = Counter()
    for row in rows:
        micro_h = micro_of(row.hours)
        of_stages[row.stage, row.cause] += micro_h
        of_people[row.person, row.cause] += micro_h
    return HoursSoFar(of_stages, of_people)
