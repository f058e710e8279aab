"""Certificates and services that run out while they are needed, told before a day is lost."""

from collections.abc import Iterable, Iterator
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Stage


def running_out(
    branch: Branch, open_stages: Iterable[Stage], today: date, last: date
) -> Iterator[str]:
    """One sentence each, for what ends before `last` and a stage that is not done asks for."""
    asked: dict[str, list[str]] = {}
    lent: dict[str, list[str]] = {}
    for stage in open_stages:
        for name in stage.certificates:
            asked.setdefault(name, []).append(stage.stage)
        for name in stage.equipment:
            lent.setdefault(name, []).append(stage.stage)
    for row in branch.certificates:
        if row.certificate in asked and row.expires_on is not None and row.expires_on < last:
            yield (
                f"{row.certificate} of {row.person} {_ends(row.expires_on, today)} on "
                f"{row.expires_on}; asked for by {_few(asked[row.certificate])}"
            )
    for piece in branch.equipment:
        due = piece.service_due_on
        if piece.equipment in lent and due is not None and due < last:
            yield (
                f"{piece.equipment}: service {_was_due(due, today)} on {due}, not used after it; "
                f"asked for by {_few(lent[piece.equipment])}"
            )
    for crew in branch.crews:
        due = crew.equipment_due_on
        own = [name for name in crew.equipment if name in lent]
        if own and due is not None and due < last:
            yield (
                f"{', '.join(own)} of crew {crew.crew}: service {_was_due(due, today)} on {due}, "
                "not used after it"
            )


def _ends(day: date, today: date) -> str:
    return "ran out" if day < today else "runs out"


def _was_due(day: date, today: date) -> str:
    return "was due" if day < today else "is due"


_MOST = 4


def _few(names: list[str]) -> str:
    rest = len(names) - _MOST
    return ", ".join(names[:_MOST]) + (f" and {rest} more" if rest > 0 else "")
