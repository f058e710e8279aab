"""Hours worked as columns of whole numbers, so that 400,000 rows add up exactly and at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import get_args

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.ledger import Span
from crewplan.model.work_rows import Cause

CAUSES: tuple[str, ...] = get_args(Cause)
"""The first is empty: productive."""
_MICRO = 1_000_000

Ints = NDArray[np.int64]


@lru_cache(maxsize=65_536)  # people write quarters of an hour: the same few, over and over
def hours_of(micro_h: int) -> Decimal:
    """Exact hours of millionths of an hour."""
    return Decimal(micro_h).scaleb(-6)


def micro_of(hours: float) -> int:
    """Millionths of an hour, rounded."""
    return round(hours * _MICRO)


@dataclass(frozen=True, slots=True, eq=False)
class Entries:
    """Rows of `hours_worked`, one entry each."""

    day: Ints
    """Proleptic ordinal of the calendar day."""
    stage: Ints
    """Into the branch's stages."""
    step: Ints
    """Into `Book.words`."""
    person: Ints
    """Into `Book.people`."""
    cause: Ints
    """Into `CAUSES`."""
    micro_h: Ints
    about: Ints
    """Into `Book.words`."""
    note: Ints
    """Into `Book.words`."""

    def where(self, kept: NDArray[np.bool_] | Ints) -> "Entries":
        """Some of the rows, told by a mark each or by their places."""
        return Entries(
            self.day[kept],
            self.stage[kept],
            self.step[kept],
            self.person[kept],
            self.cause[kept],
            self.micro_h[kept],
            self.about[kept],
            self.note[kept],
        )

    def within(self, span: Span) -> "Entries":
        """Rows of the span's days."""
        kept = np.ones(len(self.day), dtype=np.bool_)
        if span.first is not None:
            kept &= self.day >= span.first.toordinal()
        if span.last is not None:
            kept &= self.day <= span.last.toordinal()
        return self if kept.all() else self.where(kept)

    def productive(self) -> "Entries":
        """Rows that were not lost."""
        return self.where(self.cause == 0)


def everybody(branch: Branch) -> tuple[str, ...]:
    """People of the table, then those who only stand in hours, by name."""
    known = tuple(row.person for row in branch.people)
    gone = {row.person for row in branch.hours_worked}.difference(known)
    return (*known, *sorted(gone))


def words_of(branch: Branch) -> tuple[str, ...]:
    """All that `step`, `about` and `note` say, each once."""
    rows = branch.hours_worked
    return tuple({word for row in rows for word in (row.step, row.about, row.note)})


def entries_of(branch: Branch, people: Sequence[str], words: Sequence[str]) -> Entries:
    """The branch's hours as columns."""
    rows = branch.hours_worked
    stage_at = {row.stage: place for place, row in enumerate(branch.stages)}
    person_at = {person: place for place, person in enumerate(people)}
    cause_at = {cause: place for place, cause in enumerate(CAUSES)}
    word_at = {word: place for place, word in enumerate(words)}
    hours = np.array([row.hours for row in rows], dtype=np.float64)
    return Entries(
        np.array([row.day.toordinal() for row in rows], dtype=np.int64),
        np.array([stage_at[row.stage] for row in rows], dtype=np.int64),
        np.array([word_at[row.step] for row in rows], dtype=np.int64),
        np.array([person_at[row.person] for row in rows], dtype=np.int64),
        np.array([cause_at[row.cause] for row in rows], dtype=np.int64),
        np.rint(hours * _MICRO).astype(np.int64),
        np.array([word_at[row.about] for row in rows], dtype=np.int64),
        np.array([word_at[row.note] for row in rows], dtype=np.int64),
    )


def add_up(keys: Ints, amounts: Ints) -> dict[int, int]:
    """Sum of the amounts by key, keys in ascending order."""
    if len(keys) == 0:
        return {}
    found, places = np.unique(keys, return_inverse=True)
    sums = np.zeros(len(found), dtype=np.int64)
    np.add.at(sums, places, amounts)
    return dict(zip(found.tolist(), sums.tolist(), strict=True))
