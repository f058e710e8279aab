"""From a branch to where its hours went."""

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from typing import get_args

from crewplan.ledger import (
    Book,
    Standings,
    expected_and_happened,
    findings,
    hours_by,
    hours_in_all,
    job_losses,
    job_margins,
    open_book,
    questions,
)
from crewplan.ledger.crew_standings import crew_standings
from crewplan.ledger.week_standings import week_standings
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.expected import ExpectedAndHappened, KeptExpectation
from crewplan.model.finding import Finding
from crewplan.model.ledger import By, HoursRecord, Span, Standing
from crewplan.running.clock import Clock
from crewplan.takeoff import take_off_all


def hours_record(branch: Branch, clock: Clock, by: By, span: Span) -> HoursRecord:
    """Hours in one grouping; the whole record where the span is open.

    Without a last day, standings and margins are as of today, or of the last day in the record
    where that is later.
    """
    book = open_book(branch, take_off_all(branch))
    return record_on(book, local_day(branch.settings, clock.now), by, span)


def all_groupings(branch: Branch, clock: Clock, span: Span) -> list[HoursRecord]:
    """The same in every grouping."""
    book = open_book(branch, take_off_all(branch))
    today = local_day(branch.settings, clock.now)
    return [record_on(book, today, by, span) for by in get_args(By)]


def record_on(book: Book, today: date, by: By, span: Span, *, asks: bool = True) -> HoursRecord:
    """As `hours_record`, of a book that is open already; without questions unless it `asks`."""
    as_of = as_of_span(book, today, span)
    standings = Standings(book, as_of)
    lines = hours_by(book, by, span)
    told = {line.name for line in lines}
    by_line: Mapping[By, Callable[[Collection[str]], Mapping[str, Standing]]] = {
        "job": standings.of_jobs,
        "stage": standings.of_stages,
        "crew": lambda told: crew_standings(book, as_of, standings, told),
        "week": lambda told: week_standings(book, as_of, told),
    }
    return HoursRecord(
        by=by,
        span=span,
        as_of=as_of,
        lines=lines,
        in_all=hours_in_all(book, span),
        standings=by_line[by](told) if by in by_line else {},
        standing_in_all=standings.in_all(),
        margins=job_margins(book, as_of, told, standings) if by == "job" else {},
        losses=job_losses(lines) if by == "job" else (),
        questions=questions(book, span, today) if asks else (),
    )


def as_of_span(book: Book, today: date, span: Span) -> date:
    """The day up to whose end standings and margins count."""
    if span.last is not None:
        return span.last
    seen = max((row.day for row in book.branch.progress), default=today)
    worked = date.fromordinal(int(book.entries.day.max(initial=1)))
    return max(today, seen, worked)


def held_to_record(
    branch: Branch, clock: Clock, kept: Sequence[KeptExpectation]
) -> ExpectedAndHappened:
    """What published plans expected against what was written down of days before today."""
    book = open_book(branch, take_off_all(branch))
    return expected_and_happened(book, kept, local_day(branch.settings, clock.now))


def what_to_change(branch: Branch, clock: Clock, span: Span) -> tuple[Finding, ...]:
    """What the weeks up to the span's last day, or up to today, suggest to change."""
    today = local_day(branch.settings, clock.now)
    book = open_book(branch, take_off_all(branch))
    return findings(book, as_of_span(book, today, span))
