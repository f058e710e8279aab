"""Hours that are counted, and look odd enough to ask about."""

from collections.abc import Iterator
from datetime import date

import numpy as np

from crewplan.labour.worked import LONG_DAY_H
from crewplan.ledger.book import Book
from crewplan.ledger.entries import Entries, Ints, add_up, hours_of
from crewplan.model.ledger import Question, QuestionKind, Span

_NEVER = date.max.toordinal()


def questions(book: Book, span: Span, today: date) -> tuple[Question, ...]:
    """Odd hours of the span, by kind, then by day; all of them are counted all the same.

    A person's day over `LONG_DAY_H`; hours on a stage after the day on which its last step was
    reported done; hours before the job's earliest day; hours of days after today.
    """
    entries = book.entries.within(span)
    jobs = book.branch.jobs
    earliest = np.array([jobs[job].earliest_on.toordinal() for job in book.job_of], dtype=np.int64)
    finished = finished_on(book)
    last = np.full(len(book.job_of), today.toordinal(), dtype=np.int64)
    after_finish = entries.where(entries.day > finished[entries.stage])
    too_early = entries.where(entries.day < earliest[entries.stage])
    to_come = entries.where(entries.day > last[entries.stage])
    return (
        *_long_days(book, entries),
        *_asked(book, after_finish, "finished stage", finished),
        *_asked(book, too_early, "before the job", earliest),
        *_asked(book, to_come, "after today", last),
    )


def finished_on(book: Book) -> Ints:
    """By stage: the day from which on all of its earned hours were there for good."""
    left = [book.planned_micro_h(stage) for stage in range(len(book.job_of))]
    whole = list(left)
    done = [_NEVER] * len(left)
    for gain in book.gains:
        left[gain.stage] -= gain.micro_h
        if left[gain.stage] == 0 and whole[gain.stage] > 0:
            done[gain.stage] = gain.day
        else:
            done[gain.stage] = _NEVER
    return np.array(done, dtype=np.int64)


def _long_days(book: Book, entries: Entries) -> Iterator[Question]:
    people = max(len(book.people), 1)
    for key, micro_h in add_up(entries.day * people + entries.person, entries.micro_h).items():
        hours = hours_of(micro_h)
        if hours > LONG_DAY_H:
            day, person = divmod(key, people)
            who = book.people[person]
            yield Question("long day", date.fromordinal(day), who, "", hours, LONG_DAY_H)


def _asked(book: Book, some: Entries, kind: QuestionKind, limit: Ints) -> Iterator[Question]:
    """A question for each day, stage and person; `limit` is told by stage."""
    people, stages = max(len(book.people), 1), max(len(book.job_of), 1)
    keys = (some.day * stages + some.stage) * people + some.person
    for key, micro_h in add_up(keys, some.micro_h).items():
        rest, person = divmod(key, people)
        day, stage = divmod(rest, stages)
        yield Question(
            kind,
            date.fromordinal(day),
            book.people[person],
            book.branch.stages[stage].stage,
            hours_of(micro_h),
            date.fromordinal(int(limit[stage])),
        )
