"""How the record is grouped: what an hour and a gain count for, and what a group is called."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import NamedTuple, TypeVar, get_args

import numpy as np

from crewplan.ledger.book import Book
from crewplan.ledger.earned import Gain, apportion, stage_gains
from crewplan.ledger.entries import CAUSES, Entries, Ints, add_up
from crewplan.ledger.subject_groups import subject_groups, subject_names
from crewplan.model.ledger import PRODUCTIVE, By, SubjectBy

_Day = TypeVar("_Day", int, Ints)


class View(NamedTuple):
    """Groups are numbers; their order is the order in which they are told."""

    of_hours: Callable[[Book, Entries], Ints]
    of_gains: Callable[[Book, Entries, Entries, list[Gain]], Mapping[int, int]]
    """From book, the span's hours, all hours up to its end, and the span's gains."""
    names: Callable[[Book], Callable[[int], str]]


def monday_of(day: _Day) -> _Day:
    """Of a day's week, or of many days at once, as proleptic ordinals."""
    return day - (day - 1) % 7  # ordinal 1 is a Monday


def week_name(monday: int) -> str:
    """Of the standard's calendar (ISO 8601): 2026-W19."""
    year, week, _day = date.fromordinal(monday).isocalendar()
    return f"{year}-W{week:02d}"


def crew_name(book: Book) -> Callable[[int], str]:
    """A crew's name by its place; empty for one that is not known."""
    return lambda crew: "" if crew == book.no_crew else book.branch.crews[crew].crew


def _by_gain(key: Callable[[Book, Gain], int]) -> Callable[..., Mapping[int, int]]:
    def of_gains(
        book: Book, _hours: Entries, _to_date: Entries, gains: list[Gain]
    ) -> Mapping[int, int]:
        sums: dict[int, int] = {}
        for gain in gains:
            group = key(book, gain)
            sums[group] = sums.get(group, 0) + gain.micro_h
        return sums

    return of_gains


def crews_of_hours(book: Book, entries: Entries) -> Ints:
    """Crew of each entry, as its person has it now."""
    return np.array(book.crew_of, dtype=np.int64)[entries.person]


def crew_weights(book: Book, entries: Entries) -> dict[int, dict[int, int]]:
    """By stage: productive hours of each crew on it."""
    good = entries.productive()
    many = book.no_crew + 1
    weights: dict[int, dict[int, int]] = {}
    for key, micro_h in add_up(
        good.stage * many + crews_of_hours(book, good), good.micro_h
    ).items():
        if micro_h:
            weights.setdefault(key // many, {})[key % many] = micro_h
    return weights


def _earned_by_crew(
    book: Book, hours: Entries, to_date: Entries, gains: list[Gain]
) -> Mapping[int, int]:
    """A stage's gain goes to the crews by their productive hours on it in the span; without any,
    by those up to its end; without those, to nobody's crew."""
    inside, so_far = crew_weights(book, hours), crew_weights(book, to_date)
    sums: dict[int, int] = {}
    for stage, micro_h in stage_gains(gains).items():
        weights = inside.get(stage) or so_far.get(stage) or {book.no_crew: 1}
        for crew, part in apportion(micro_h, weights).items():
            sums[crew] = sums.get(crew, 0) + part
    return sums


VIEWS: dict[By, View] = {
    "job": View(
        lambda book, entries: np.array(book.job_of, dtype=np.int64)[entries.stage],
        _by_gain(lambda book, gain: book.job_of[gain.stage]),
        lambda book: lambda job: book.branch.jobs[job].job,
    ),
    "stage": View(
        lambda _, entries: entries.stage,
        _by_gain(lambda _, gain: gain.stage),
        lambda book: lambda stage: book.branch.stages[stage].stage,
    ),
    "crew": View(crews_of_hours, _earned_by_crew, crew_name),
    "cause": View(
        lambda _, entries: entries.cause,
        _by_gain(lambda _book, _gain: 0),
        lambda _: lambda cause: CAUSES[cause] or PRODUCTIVE,
    ),
    "week": View(
        lambda _, entries: monday_of(entries.day),
        _by_gain(lambda _, gain: monday_of(gain.day)),
        lambda _: week_name,
    ),
    **{
        by: View(
            partial(subject_groups, by),
            _by_gain(lambda _book, _gain: 0),
            partial(subject_names, by),
        )
        for by in get_args(SubjectBy)
    },
}
