"""Runs of hours, long enough, in which the same members are good throughout."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class OpenHour:
    """One hour as a window sees it."""

    start_s: float
    """Start of the part of the hour that lies in the shift and after now."""
    end_s: float
    """End of that part; not after `start_s` where there is none."""
    usable: bool
    good: int
    """Rows in which the hour is good, one bit each."""


@dataclass(frozen=True, slots=True)
class Run:
    """Hours `first` to `last`, both included, and the share of rows good in all of them."""

    first: int
    last: int
    share: float


def row_bits(good: NDArray[np.bool_]) -> list[int]:
    """[R, H] rows by hours: the rows of each hour as bits of one number."""
    return [int.from_bytes(column.tobytes(), "big") for column in np.packbits(good, axis=0).T]


def _longest(
    hours: Sequence[OpenHour], free: Sequence[bool], rows: int, least: float, needed_s: float
) -> Run | None:
    best, best_s = None, -1.0
    for first, opening in enumerate(hours):
        both, until = opening.good, opening.start_s
        for last in range(first, len(hours)):
            hour = hours[last]
            empty = hour.end_s <= hour.start_s
            if empty or not free[last] or not hour.usable or hour.start_s != until:
                break
            both, until = both & hour.good, hour.end_s
            share = both.bit_count() / rows
            if share < least:
                break
            length_s = until - opening.start_s
            if length_s >= needed_s and length_s > best_s:
                best, best_s = Run(first, last, share), length_s
    return best


def windows(hours: Sequence[OpenHour], rows: int, least: float, needed_s: float) -> tuple[Run, ...]:
    """Disjoint runs, the longest first found and then the earliest, returned in time order.

    Args:
        hours: in time order.
        rows: R, what a share counts.
        least: share of rows that must be good in every hour of a run.
        needed_s: least length in seconds.
    """
    free = [True] * len(hours)
    found: list[Run] = []
    while (run := _longest(hours, free, rows, least, needed_s)) is not None:
        found.append(run)
        free[run.first : run.last + 1] = [False] * (run.last - run.first + 1)
    return tuple(sorted(found, key=lambda run: run.first))
