"""Earned hours: planned hours of each step x share done, as gains on the days they were seen."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from crewplan.model.ledger import Span
from crewplan.model.work_rows import Progress


class Gain(NamedTuple):
    """Earned hours that a progress row adds to those before it; below 0 where it takes back."""

    day: int
    """Proleptic ordinal."""
    stage: int
    micro_h: int


def gains(
    rows: Iterable[Progress], stage_at: Mapping[str, int], planned: Sequence[Mapping[str, int]]
) -> tuple[Gain, ...]:
    """One gain a row that changes something, by day.

    Up to a day they add up to planned hours x the share seen last, step by step. A step that the
    stage has no planned hours for earns nothing.
    """
    before: dict[tuple[int, str], int] = {}
    found: list[Gain] = []
    for row in sorted(rows, key=lambda row: (row.day, row.stage, row.step)):
        stage = stage_at[row.stage]
        earned = round(planned[stage].get(row.step, 0) * row.share_done)
        gained = earned - before.get((stage, row.step), 0)
        before[stage, row.step] = earned
        if gained:
            found.append(Gain(row.day.toordinal(), stage, gained))
    return tuple(found)


def gains_within(rows: Iterable[Gain], span: Span) -> list[Gain]:
    """Gains of the span's days."""
    first = 0 if span.first is None else span.first.toordinal()
    last = None if span.last is None else span.last.toordinal()
    return [row for row in rows if row.day >= first and (last is None or row.day <= last)]


def stage_gains(rows: Iterable[Gain]) -> dict[int, int]:
    """Millionths of an hour earned, by stage."""
    sums: dict[int, int] = {}
    for row in rows:
        sums[row.stage] = sums.get(row.stage, 0) + row.micro_h
    return sums


def apportion(total: int, weights: Mapping[int, int]) -> dict[int, int]:
    """A whole number split by weights into whole numbers that add up to it.

    Largest remainders are rounded up; of equal ones the lowest key.
    """
    whole = sum(weights.values())
    size, sign = abs(total), 1 if total >= 0 else -1
    parts = {key: size * weight // whole for key, weight in weights.items()}
    by_remainder = sorted(weights, key=lambda key: (-(size * weights[key] % whole), key))
    for key in by_remainder[: size - sum(parts.values())]:
        parts[key] += 1
    return {key: sign * part for key, part in parts.items()}
