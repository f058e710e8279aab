"""Rows that rules are made of: at most so many, so much of something at a time, one after another.

They know columns, times and amounts only, so that any problem of this kind can be written in them.
"""

from collections.abc import Hashable, Iterable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from crewplan.scheduling.selection import NO_LOWER, Row

Use = tuple[Hashable, int, int]
"""Something scarce, the column that uses it, and how much of it."""


def count_row(
    columns: Iterable[int], upper: int, lower: int = NO_LOWER, rule: str = "", subject: str = ""
) -> Row:
    """Between `lower` and `upper` of the columns are picked."""
    held = np.fromiter(columns, dtype=np.int64)
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
    columns: dict[Hashable, list[int]] = {}
    amounts: dict[Hashable, list[int]] = {}
    for thing, column, amount in uses:
        columns.setdefault(thing, []).append(column)
        amounts.setdefault(thing, []).append(amount)
    for thing, held in columns.items():
        most = capacity.get(thing, 0)
        if sum(amounts[thing]) <= most:
            continue
        yield Row(
            np.array(held, dtype=np.int64),
            np.array(amounts[thing], dtype=np.int64),
            most,
            rule=rule,
            subject=(subjects or {}).get(thing, str(thing)),
        )


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
