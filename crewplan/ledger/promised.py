"""Planned value: how much of a stage was to be done by the end of a day."""

from datetime import date, timedelta

from crewplan.ledger.book import Book
from crewplan.model.calendar import is_working_day
from crewplan.placing.keep import published_cells
from crewplan.placing.needs.allowed_days import customer_allows

_LONGEST = timedelta(days=366)
"""A published row is looked at no longer than this after its start."""


def half_days(book: Book) -> dict[int, list[date]]:
    """The day of each half-day that a stage is published with; other stages left out."""
    branch = book.branch
    stage_at = {row.stage: place for place, row in enumerate(branch.stages)}
    halves: dict[int, list[date]] = {}
    for row in branch.plan:
        place = stage_at[row.stage]
        spans = branch.jobs[book.job_of[place]].customer_days

        def can_work(one: date, spans: tuple[tuple[date, date], ...] = spans) -> bool:
            return is_working_day(branch.settings, one) and customer_allows(spans, one)

        days = published_cells(row, can_work, row.start_on + _LONGEST)
        halves.setdefault(place, []).extend(days)
    return halves


def promised_shares(book: Book, day: date) -> dict[int, float]:
    """Share of each stage's planned hours that was to be done; stages without a date left out.

    Whole where the job was promised by then; else the share of the stage's published half-days
    that lie up to the day. Work that was neither promised nor published by then has no date that
    it could be early or late against.
    """
    halves, jobs = half_days(book), book.branch.jobs
    shares: dict[int, float] = {}
    for place, job in enumerate(book.job_of):
        days = halves.get(place, [])
        if jobs[job].due_on <= day:
            shares[place] = 1.0
        elif any(one <= day for one in days):
            shares[place] = sum(one <= day for one in days) / len(days)
    return shares
