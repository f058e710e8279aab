"""Hours that somebody is about to enter and that look odd: asked about before they are kept."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from crewplan.labour.worked import LONG_DAY_H
from crewplan.ledger.entries import hours_of, micro_of
from crewplan.model.closed import month_of
from crewplan.model.ledger import Question
from crewplan.model.work_rows import HoursWorked


@dataclass(frozen=True, slots=True)
class Against:
    """What new hours of one stage are held against."""

    kept: Sequence[HoursWorked]
    """All hours of the same days and people, on whatever stage."""
    earliest_on: date
    """The job's."""
    finished_on: date | None
    """When the stage's last step was reported done; None: it is not."""
    today: date
    closed: Mapping[str, date] = field(default_factory=dict)
    """Months such as 2026-04 that were closed, and when."""
    before: Mapping[str, date | None] = field(default_factory=dict)
    """Stages that come first and that progress tells of, and when each was finished."""


def odd_hours(new: Sequence[HoursWorked], against: Against) -> tuple[Question, ...]:
    """Questions as the ledger asks them of what is kept, and two more: the same hours again, and
    days of a month that was closed.

    Entries have no time of day, so that hours of a person overlap for certain only where the same
    day, stage, step and cause has some already.
    """
    return (
        *_long_days(new, against.kept),
        *_again(new, against.kept),
        *_out_of_time(new, against),
    )


def _sum(rows: Iterable[HoursWorked]) -> Decimal:
    return hours_of(sum(micro_of(row.hours) for row in rows))


def _long_days(new: Sequence[HoursWorked], kept: Sequence[HoursWorked]) -> Iterator[Question]:
    for day, person in dict.fromkeys((row.day, row.person) for row in new):
        hours = _sum(row for row in (*kept, *new) if (row.day, row.person) == (day, person))
        if hours > LONG_DAY_H:
            yield Question("long day", day, person, "", hours, LONG_DAY_H)


def _again(new: Sequence[HoursWorked], kept: Sequence[HoursWorked]) -> Iterator[Question]:
    def same(row: HoursWorked) -> tuple[date, str, str, str, str]:
        return row.day, row.stage, row.person, row.step, row.cause

    for row in new:
        there = _sum(other for other in kept if same(other) == same(row))
        if there:
            hours = _sum([row])
            yield Question("same again", row.day, row.person, row.stage, hours, float(there))


def _out_of_time(new: Sequence[HoursWorked], against: Against) -> Iterator[Question]:
    for row in new:
        hours = _sum([row])
        if against.finished_on is not None and row.day > against.finished_on:
            finished = against.finished_on
            yield Question("finished stage", row.day, row.person, row.stage, hours, finished)
        if row.day < against.earliest_on:
            earliest = against.earliest_on
            yield Question("before the job", row.day, row.person, row.stage, hours, earliest)
        for name, done in against.before.items():
            if done is None or row.day < done:
                no_sooner = against.today if done is None else done
                yield Question(
                    "before its turn", row.day, row.person, row.stage, hours, no_sooner, name
                )
        closed = against.closed.get(month_of(row.day))
        if closed is not None:
            yield Question("closed month", row.day, row.person, row.stage, hours, closed)
        if row.day > against.today:
            yield Question("after today", row.day, row.person, row.stage, hours, against.today)
