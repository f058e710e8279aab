"""What to change: hours lost the same way, with money and cases, the dearest first."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from crewplan.ledger.book import Book
from crewplan.ledger.drives import beyond_planned_drive
from crewplan.ledger.drives_back import drives_back
from crewplan.ledger.entries import add_up, hours_of, micro_of
from crewplan.ledger.questions import finished_on
from crewplan.ledger.subject_groups import subjects_of
from crewplan.ledger.subjects import Lost
from crewplan.model.finding import Answers, Finding, SubjectKind
from crewplan.model.ledger import Span, SubjectBy
from crewplan.model.work_rows import Cause, HoursWorked
from crewplan.readiness.history import History
from crewplan.readiness.waits import Waits

WEEKS = 8
"""How far back the record is looked at. Assumed: older habits may have gone already."""
ENOUGH_CASES = 5
"""With fewer nothing is concluded. Assumed."""
HALF, MOST = 0.5, 0.8

_SUBJECT: Mapping[Cause, SubjectBy | Literal["crew", "branch"]] = {
    "weather": "limit",
    "waiting_for_permit": "authority",
    "waiting_for_material": "part",
    "missing_tool_or_part": "part",
    "return_trip": "part",
    "rework": "crew",
    "failed_inspection": "authority",
    "customer": "branch",
    "travel": "crew",
    "other": "branch",
}
"""What hours lost for a cause are told by; material by its supplier where that is told."""


def findings(book: Book, day: date, weeks: int = WEEKS) -> tuple[Finding, ...]:
    """Those with cases enough first, each group the dearest first.

    Args:
        book: the record.
        day: its last day; the `weeks` weeks up to it count.
        weeks: how many.
    """
    first = day - timedelta(weeks=weeks) + timedelta(days=1)
    found = [*_lost(book, Span(first, day)), *_slow(book, Span(first, day))]
    return tuple(sorted(found, key=lambda one: (not one.enough, -one.cost, -one.hours)))


def _lost(book: Book, span: Span) -> Iterator[Finding]:
    groups: dict[tuple[Cause, SubjectKind, str], list[HoursWorked]] = {}
    subject = _subjects(book)
    beyond = beyond_planned_drive(book.branch)
    entries = book.entries
    assert span.first is not None
    assert span.last is not None
    within = (entries.day >= span.first.toordinal()) & (entries.day <= span.last.toordinal())
    for row in map(beyond, _rows(book, within & (entries.cause > 0))):
        if row is not None and row.cause:
            kind, name = subject(row)
            # the drive back for a part that was missing is what the part cost, too
            fetched = row.cause == "return_trip" and name != ""
            cause: Cause = "missing_tool_or_part" if fetched else row.cause
            groups.setdefault((cause, kind, name), []).append(row)
    history = History(book.branch.lead_times, span.last)
    for (cause, kind, name), rows in groups.items():
        cases = {(row.day, row.stage) for row in rows}
        answers = None
        if cause == "waiting_for_permit":
            answers = _answers(history.waits("permit", name))
        yield Finding(
            cause,
            kind,
            name,
            sum((hours_of(micro_of(row.hours)) for row in rows), Decimal(0)),
            _cost(book, rows),
            len(cases),
            _crews(book, rows),
            min(row.day for row in rows),
            max(row.day for row in rows),
            len(cases) >= ENOUGH_CASES,
            answers,
            drives_back(book, rows) if kind == "part" else None,
        )


def _rows(book: Book, which: NDArray[np.bool_]) -> list[HoursWorked]:
    """Rows of some entries, which stand in the table's order."""
    rows = book.branch.hours_worked
    return [rows[at] for at in np.flatnonzero(which).tolist()]


def _subjects(book: Book) -> Callable[[HoursWorked], tuple[SubjectKind, str]]:
    """Kind and name of what a lost hour is about; an empty name: not told."""
    branch, subjects = book.branch, subjects_of(book)
    authority_of = {job.job: job.authority for job in branch.jobs}
    office_of = {stage.stage: authority_of[stage.job] for stage in branch.stages}
    crew_of = {person.person: person.crew for person in branch.people}

    def subject(row: HoursWorked) -> tuple[SubjectKind, str]:
        assert row.cause
        kind = _SUBJECT[row.cause]
        if kind == "crew":
            return kind, crew_of.get(row.person, "")
        if kind == "branch":
            return kind, ""
        supplier = subjects.named("supplier", row.about)
        if row.cause == "waiting_for_material" and supplier is not None:
            return "supplier", supplier
        lost = Lost(row.cause, row.about, row.note, office_of[row.stage])
        return kind, subjects.of(kind, lost) or ""

    return subject


def _cost(book: Book, rows: Sequence[HoursWorked]) -> Decimal:
    cost_of = dict(zip(book.people, book.costs, strict=True))
    return sum(
        (hours_of(micro_of(row.hours)) * (cost_of[row.person] or Decimal(0)) for row in rows),
        Decimal(0),
    )


def _crews(book: Book, rows: Sequence[HoursWorked]) -> tuple[str, ...]:
    crew_of = {person.person: person.crew for person in book.branch.people}
    there = {crew_of.get(row.person, "") for row in rows}
    return tuple(row.crew for row in book.branch.crews if row.crew in there)


def _answers(waits: Waits | None) -> Answers | None:
    """How long permits took there; None where the authority has no record of its own."""
    if waits is None or waits.own is None:
        return None
    days = np.arange(0.0, 366.0)
    still = waits.own.at(days)

    def within(share: float) -> int | None:
        good = np.flatnonzero(still <= 1 - share + 1e-12)
        return int(days[good[0]]) if len(good) else None

    return Answers(round(waits.own.requests), within(HALF), within(MOST))


def _slow(book: Book, span: Span) -> Iterator[Finding]:
    """Finished stages of a kind that took more productive hours than planned, all together."""
    assert span.first is not None
    assert span.last is not None
    good = book.entries.productive()
    worked = add_up(good.stage, good.micro_h)
    done = finished_on(book).tolist()
    kinds: dict[str, list[int]] = {}
    for stage, row in enumerate(book.branch.stages):
        if span.first.toordinal() <= done[stage] <= span.last.toordinal() and stage in worked:
            kinds.setdefault(row.kind, []).append(stage)
    for kind, stages in kinds.items():
        over = sum(worked[stage] - book.planned_micro_h(stage) for stage in stages)
        if over <= 0:
            continue
        of_these = np.isin(book.entries.stage, stages) & (book.entries.cause == 0)
        rows = _rows(book, of_these)
        spent = sum((hours_of(micro_of(row.hours)) for row in rows), Decimal(0))
        yield Finding(
            "slow",
            "kind of stage",
            kind,
            hours_of(over),
            _cost(book, rows) * hours_of(over) / spent,
            len(stages),
            _crews(book, rows),
            date.fromordinal(min(done[stage] for stage in stages)),
            date.fromordinal(max(done[stage] for stage in stages)),
            len(stages) >= ENOUGH_CASES,
        )
