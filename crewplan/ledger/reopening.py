"""A book that is open, extended by what was entered since, in place of being opened again.

Take-off, planned hours and material are nine tenths of opening a book, and no entry changes them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import fields, replace
from operator import is_
from typing import Any

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains
from crewplan.ledger.entries import Entries, entries_of, words_of
from crewplan.model.branch import Branch

ENTERED = frozenset({"hours_worked", "progress", "plan", "requirements", "lead_times"})
"""Tables of which a later book may have other rows: none of them is in planned hours, people's
costs or material, all of which count before anything is done."""
_COLUMNS = tuple(field.name for field in fields(Entries))


def reopened(
    book: Book, rows: Mapping[str, tuple[Any, ...]], present: frozenset[str]
) -> Book | None:
    """The book with other rows of `ENTERED`; it answers every question as `open_book` would.

    Args:
        book: it stays as it is.
        rows: all rows by table, those that stayed as the same objects; a table that is not named
            has the rows that it had.
        present: tables that the branch has now.

    None: it must be opened again, since people came into hours or left them who are in no table.
    """
    if other := rows.keys() - ENTERED:
        raise ValueError(f"{', '.join(sorted(other))} cannot change in an open book")
    changed: dict[str, Any] = {**rows, "present": present}
    former, branch = book.branch, replace(book.branch, **changed)
    gained = book.gains
    if branch.progress is not former.progress:
        stage_at = {row.stage: place for place, row in enumerate(branch.stages)}
        gained = gains(branch.progress, stage_at, book.planned)
    later = replace(book, branch=branch, gains=gained)
    return later if branch.hours_worked is former.hours_worked else _with_hours(later, former)


def _with_hours(book: Book, former: Branch) -> Book | None:
    """Columns of the rows that are new, between those of the rows that stayed."""
    was, now = former.hours_worked, book.branch.hours_worked
    before = _same(was, now)
    most = min(len(was), len(now)) - before
    after = _same(was[::-1][:most], now[::-1][:most])
    fresh, gone = now[before : len(now) - after], was[before : len(was) - after]
    in_table = {row.person for row in book.branch.people}
    came, left = ({row.person for row in some} - in_table for some in (fresh, gone))
    if not left <= came <= set(book.people):
        return None
    alone = replace(book.branch, hours_worked=fresh)
    # a word that no row says any more may stay
    words = tuple(dict.fromkeys((*book.words, *words_of(alone))))
    new = entries_of(alone, book.people, words)
    last = len(was) - after
    parts = ((getattr(book.entries, name), getattr(new, name)) for name in _COLUMNS)
    columns = [np.concatenate([old[:before], come, old[last:]]) for old, come in parts]
    return replace(book, words=words, entries=Entries(*columns))


def _same(some: Sequence[Any], others: Sequence[Any]) -> int:
    """How many are the same objects, from the first on."""
    found = list(map(is_, some, others))
    return found.index(False) if False in found else len(found)
