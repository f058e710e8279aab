"""The week against what is published, in words: what moves, and who must hear of it."""

from collections.abc import Iterable, Sequence

from crewplan.model.branch import Branch
from crewplan.model.lent import LentChange
from crewplan.model.whatif import Move, Slot
from crewplan.publishing.day_words import day_words
from crewplan.publishing.kind_words import KIND_WORDS
from crewplan.publishing.lent_words import change_words, crews_to_hear

COLUMNS = ("Stage", "Customer", "As published", "From now on", "Must be told")
"""Of `move_rows`."""


def _slot(slot: Slot | None, nowhere: str) -> str:
    if slot is None:
        return nowhere
    until = "" if slot.end_on == slot.start_on else f" to {day_words(slot.end_on)}"
    return f"{slot.crew}, {day_words(slot.start_on)} {slot.start_half}{until}"


def move_rows(branch: Branch, moves: Iterable[Move]) -> list[tuple[str, str, str, str, str]]:
    """A row a move, in the order of `COLUMNS`; the last is empty where nobody must hear of it."""
    kinds = {stage.stage: KIND_WORDS[stage.kind] for stage in branch.stages}
    customers = {job.job: job.customer or job.job for job in branch.jobs}
    return [
        (
            f"{kinds.get(move.stage, '')} {move.stage}".lstrip(),
            customers.get(move.job, move.job),
            _slot(move.before, "not published"),
            _slot(move.after, "left out"),
            "the customer" if move.customer_hears else "",
        )
        for move in moves
    ]


def lent_lines(changes: Iterable[LentChange]) -> list[str]:
    """A line a person and day on which they are with another crew than published."""
    return [f"{day_words(one.day)}: {change_words(one)}." for one in changes]


def all_to_tell(
    branch: Branch, moves: Iterable[Move], lent: Sequence[LentChange]
) -> list[tuple[str, str, str]]:
    """Customers whose day changes, then crews whose people do: name, telephone, and what."""
    return [*_customers(branch, moves), *crews_to_hear(branch, lent, day_words)]


def _customers(branch: Branch, moves: Iterable[Move]) -> list[tuple[str, str, str]]:
    """Each customer once: name, telephone, and what of theirs moves to which days."""
    found: dict[str, list[str]] = {}
    for move in moves:
        if move.customer_hears:
            found.setdefault(move.job, []).append(
                f"{move.stage}: {_slot(move.after, 'no day for now')}"
            )
    rows = {job.job: job for job in branch.jobs}
    return [
        (
            rows[job].contact or rows[job].customer or f"the customer of {job}",
            rows[job].phone,
            "; ".join(told),
        )
        for job, told in found.items()
    ]
