"""Rows that rules are made of: at most so many, so much of something at a time, one after another.

They know columns, times and amounts only, so that any problem of this kind can be written in them.
"""

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from crewplan.scheduling.grouping import grouped
from crewplan.scheduling.selection import NO_LOWER, Row

Use = tuple[Hashable, int, int]
"""Something scarce, the column that uses it, and how much of it."""


def count_row(
    columns: Iterable[int], upper: int, lower: int = NO_LOWER, rule: str = "", subject: str = ""
) -> Row:
    """Between `lower` and `upper` of the columns are picked."""
    listed = columns if isinstance(columns, np.ndarray) else list(columns)
    held = np.array(listed, dtype=np.int64)
    return Row(held, np.ones_like(held), upper, lower, rule, subject)


def capacity_rows(
    uses: Iterable[Use],
    capacity: Mapping[Hashable, int],
    rule: str = "",
    subjects: Mapping[Hashable, str] | None = None,
) -> Iterator[Row]:
    """For each scarce thing: what the picked columns use of it is no more than there is.

    Things of which no choice can use too much give no row; unknown things have capacity 0.
    """
    numbers: dict[Hashable, int] = {}
    found = [
        (numbers.setdefault(thing, len(numbers)), column, amount) for thing, column, amount in uses
    ]
    things, columns, amounts = np.array(found, dtype=np.int64).reshape(-1, 3).T
    names = tuple(numbers)
    there = np.array([capacity.get(thing, 0) for thing in names], dtype=np.int64)
    told = [(subjects or {}).get(thing, str(thing)) for thing in names]
    yield from numbered_capacity_rows(things, columns, amounts, there, rule, told.__getitem__)


def numbered_capacity_rows(
    things: NDArray[np.int64],
    columns: NDArray[np.int64],
    amounts: NDArray[np.int64],
    capacity: NDArray[np.int64],
    rule: str = "",
    subject: Callable[[int], str] = str,
) -> Iterator[Row]:
    """`capacity_rows` of uses in arrays, one entry each, for scarce things that are numbered.

    Args:
        things: what is used, by index in `capacity`.
        columns: who uses it.
        amounts: how much of it.
        capacity: of each thing how much there is.
        rule: that the rows stand for.
        subject: of a thing, by index.
    """
    if len(things) == 0:
        return
    used = np.zeros_like(capacity)
    np.add.at(used, things, amounts)
    scarce = (used > capacity)[things]
    columns, amounts = columns[scarce], amounts[scarce]
    for thing, at in grouped(things[scarce], len(capacity)):
        yield Row(columns[at], amounts[at], int(capacity[thing]), rule=rule, subject=subject(thing))


def order_rows(
    before: NDArray[np.int64],
    ends: NDArray[np.int64],
    after: NDArray[np.int64],
    latest_end: NDArray[np.int64],
    rule: str = "",
    subject: str = "",
) -> Iterator[Row]:
    """One of `before` must have ended in time for the one of `after` that is picked.

    `ends` is when each of `before` ends; `latest_end` is when, at the latest, the one before must
    have ended so that each of `after` may start. For each time t: picked of `after` with
    latest_end <= t is no more than picked of `before` with end <= t. Written out like this the
    linear relaxation is tight, which one row with big factors is not. Of the times between two
    ends only the last says anything, since it covers the others.
    """
    times = np.unique(latest_end)
    ended = np.searchsorted(np.sort(ends), times, side="right")
    says = np.append(ended[1:] != ended[:-1], True) if len(times) else np.zeros(0, dtype=bool)
    for time in times[says]:
        early = before[ends <= time]
        begun = after[latest_end <= time]
        yield Row(
            np.concatenate([begun, early]),
            np.concatenate([np.ones_like(begun), -np.ones_like(early)]),
            0,
            rule=rule,
            subject=subject,
        )
