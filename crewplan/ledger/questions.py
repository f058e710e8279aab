"""Hours that are counted, and look odd enough to ask about."""

from collections.abc import Iterator, Sequence
from datetime import date

import numpy as np

from crewplan.labour.worked import LONG_DAY_H
from crewplan.ledger.book import Book
from crewplan.ledger.entries import CAUSES, Entries, Ints, add_up, hours_of
from crewplan.model.ledger import Question, QuestionKind, Span

_NEVER = date.max.toordinal()


def questions(book: Book, span: Span, today: date) -> tuple[Question, ...]:
    """Odd hours of the span, by kind, then by day; all of them are counted all the same.

    A person's day over `LONG_DAY_H`; several entries of a person's day for the same stage, step,
    cause and subject; hours on a stage after the day on which its last step was reported done;
    hours before the job's earliest day, or before a stage that comes first was reported done; hours
    of days after today. Where nothing was reported of a stage, nobody is asked whether it was done.
    """
    entries = book.entries.within(span)
    jobs = book.branch.jobs
    earliest = np.array([jobs[job].earliest_on.toordinal() for job in book.job_of], dtype=np.int64)
    finished = finished_on(book)
    last = np.full(len(book.job_of), today.toordinal(), dtype=np.int64)
    after_finish = entries.where(entries.day > finished[entries.stage])
    too_early = entries.where(entries.day < earliest[entries.stage])
    to_come = entries.where(entries.day > last[entries.stage])
    turn, before = _turns(book, finished)
    out_of_turn = entries.where(entries.day < turn[entries.stage])
    return (
        *_long_days(book, entries),
        *_several_times(book, entries),
        *_asked(book, after_finish, "finished stage", finished),
        *_asked(book, too_early, "before the job", earliest),
        *_asked(book, out_of_turn, "before its turn", np.minimum(turn, last), before),
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


def _turns(book: Book, finished: Ints) -> tuple[Ints, Sequence[str]]:
    """By stage: when the last of those before it was finished, as far as progress tells, and which
    that is."""
    rows = book.branch.stages
    at = {row.stage: place for place, row in enumerate(rows)}
    told = {gain.stage for gain in book.gains}
    turn, before = np.zeros(len(rows), dtype=np.int64), [""] * len(rows)
    for place, row in enumerate(rows):
        for name in row.after:
            if at[name] in told and finished[at[name]] > turn[place]:
                turn[place], before[place] = finished[at[name]], name
    return turn, before


def _several_times(book: Book, entries: Entries) -> Iterator[Question]:
    """Entries have no time of day, so that only those for the very same overlap for certain."""
    if not len(entries.day):
        return
    people, stages, words = len(book.people), len(book.job_of), len(book.words)
    visits = ((entries.day - entries.day.min()) * stages + entries.stage) * people + entries.person
    _, visit, many = np.unique(
        visits * len(CAUSES) + entries.cause, return_inverse=True, return_counts=True
    )
    again = many[visit] > 1
    some = entries.where(again)
    same = (visit[again] * words + some.step) * words + some.about
    _, first, place, counts = np.unique(
        same, return_index=True, return_inverse=True, return_counts=True
    )
    sums = np.zeros(len(counts), dtype=np.int64)
    np.add.at(sums, place, some.micro_h)
    found = []
    for group in np.flatnonzero(counts > 1).tolist():
        at = first[group]
        day, person = date.fromordinal(int(some.day[at])), book.people[some.person[at]]
        stage, hours = book.branch.stages[some.stage[at]].stage, hours_of(int(sums[group]))
        found.append(Question("several times", day, person, stage, hours, int(counts[group])))
    yield from sorted(found, key=lambda one: (one.day, one.stage, one.person, one.hours, one.limit))


def _long_days(book: Book, entries: Entries) -> Iterator[Question]:
    people = max(len(book.people), 1)
    for key, micro_h in add_up(entries.day * people + entries.person, entries.micro_h).items():
        hours = hours_of(micro_h)
        if hours > LONG_DAY_H:
            day, person = divmod(key, people)
            who = book.people[person]
            yield Question("long day", date.fromordinal(day), who, "", hours, LONG_DAY_H)


def _asked(
    book: Book, some: Entries, kind: QuestionKind, limit: Ints, before: Sequence[str] = ()
) -> Iterator[Question]:
    """A question for each day, stage and person; `limit` and `before` are told by stage."""
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
            before[stage] if before else "",
        )
