"""What planning expected against what happened: was the chance of losing Tuesday right?"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
from scipy.stats import binomtest

from crewplan.labour.calibration import CONFIDENCE, LEAST_CASES
from crewplan.ledger.book import Book
from crewplan.ledger.entries import CAUSES, hours_of
from crewplan.ledger.questions import finished_on
from crewplan.model.expected import (
    ChanceBin,
    ChanceOf,
    ExpectedAndHappened,
    KeptExpectation,
    WeatherHours,
)

EDGES = (0.0, 0.7, 0.8, 0.9, 0.95, 1.0)
"""Chances are told apart by these; the last is a bin of its own."""
_WEATHER = CAUSES.index("weather")
_NOT_READY = tuple(map(CAUSES.index, ("waiting_for_permit", "waiting_for_material")))


@dataclass(frozen=True, slots=True)
class _Case:
    """A placement that is over, and what the record says of its days."""

    kept: KeptExpectation
    written: bool
    finished: bool
    weather: int
    """Millionths of an hour lost."""
    waited: bool

    def chance(self, of: ChanceOf) -> tuple[float, bool] | None:
        """What was told and whether it happened; None: nothing to be told."""
        told = self.kept.expected
        match of:
            case "go":
                # weather stopped it where hours went to it and the work was not done all the same
                return (told.p_go, self.finished or self.weather == 0) if told.exposed else None
            case "finish":
                return told.p_finish, self.finished
            case "ready":
                return told.p_ready, not self.waited


def standing(kept: Iterable[KeptExpectation]) -> list[KeptExpectation]:
    """Of each visit what the newest plan said before it began.

    A plan published later and before the start replaces what the former said, also where it leaves
    the stage out. What plans say of the rest of a visit that has begun is left out.
    """
    rows = list(kept)
    asked = {row.plan: row.asked_at for row in rows}
    last: dict[str, date] = {}
    found = []
    for row in sorted(rows, key=lambda row: (row.expected.starts_at, row.plan)):
        before = [plan for plan, at in asked.items() if at <= row.expected.starts_at]
        one = row.expected
        if before and row.plan == max(before) and one.days[0] > last.get(one.stage, date.min):
            found.append(row)
            last[one.stage] = one.days[-1]
    return found


def expected_and_happened(
    book: Book, kept: Sequence[KeptExpectation], today: date
) -> ExpectedAndHappened:
    """Placements whose last day lies before `today`, where something was written down.

    Args:
        book: the record.
        kept: what all published plans expected.
        today: its own hours may not be in yet.
    """
    places = {row.stage: place for place, row in enumerate(book.branch.stages)}
    stood = [row for row in standing(kept) if row.expected.stage in places]
    over = [row for row in stood if row.expected.days[-1] < today]
    cases = list(_cases(book, over, places))
    judged = [case for case in cases if case.written]
    return ExpectedAndHappened(
        as_of=today,
        plans=len({row.plan for row in kept}),
        judged=len(judged),
        not_written=len(cases) - len(judged),
        to_come=len(stood) - len(over),
        bins=tuple(_bins(judged)),
        hours=WeatherHours(
            len(judged),
            sum(case.kept.expected.lost_h for case in judged),
            hours_of(sum(case.weather for case in judged)) if judged else Decimal(0),
            len(judged) >= LEAST_CASES,
        ),
    )


def _cases(
    book: Book, over: Sequence[KeptExpectation], places: Mapping[str, int]
) -> Iterator[_Case]:
    finished = finished_on(book)
    entries = book.entries
    seen = {(row.stage, row.day) for row in book.branch.progress}
    order = np.argsort(entries.stage, kind="stable")
    by_stage = entries.stage[order]
    for row in over:
        told = row.expected
        place = places[told.stage]
        first, end = np.searchsorted(by_stage, [place, place + 1])
        mine = entries.where(order[first:end])
        days = np.array([day.toordinal() for day in told.days], dtype=np.int64)
        mine = mine.where(np.isin(mine.day, days))
        yield _Case(
            row,
            written=len(mine.day) > 0 or any((told.stage, day) in seen for day in told.days),
            finished=bool(finished[place] <= days[-1]),
            weather=int(mine.micro_h[mine.cause == _WEATHER].sum()),
            waited=bool(np.isin(mine.cause, _NOT_READY).any()),
        )


def _bins(cases: Sequence[_Case]) -> Iterator[ChanceBin]:
    for of in ("go", "finish", "ready"):
        told = [pair for case in cases if (pair := case.chance(of)) is not None]
        for at, low in enumerate(EDGES):
            high = EDGES[min(at + 1, len(EDGES) - 1)]
            found = [(p, came) for p, came in told if low <= p < high or p == low == high]
            if not found:
                continue
            happened = sum(came for _, came in found)
            interval = binomtest(happened, len(found)).proportion_ci(CONFIDENCE, method="exact")
            yield ChanceBin(
                of,
                low,
                high,
                len(found),
                sum(p for p, _ in found) / len(found),
                happened,
                (float(interval.low), float(interval.high)),
                len(found) >= LEAST_CASES,
            )
