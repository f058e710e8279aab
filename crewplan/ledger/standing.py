"""How work stands at the end of a day: indices, hours and labour cost at completion."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from crewplan.ledger import earned_value
from crewplan.ledger.adding import Added, added_up
from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within, stage_gains
from crewplan.ledger.entries import hours_of
from crewplan.ledger.labour_cost import NOTHING_SPENT, Spent, labour_cost, table_hour_cost
from crewplan.ledger.promised import promised_shares
from crewplan.model.ledger import Span, Standing


def stand(
    budget_h: float,
    promised_h: float,
    earned_h: float,
    promised_earned_h: float,
    worked_h: float,
    spent: Spent = NOTHING_SPENT,
) -> Standing:
    """All figures of earned value; the schedule index holds like against like."""
    schedule = earned_value.schedule_index(promised_earned_h, promised_h)
    at_index = earned_value.estimate_at_index(budget_h, earned_h, worked_h)
    at_both = earned_value.estimate_at_both(budget_h, earned_h, worked_h, schedule)
    return Standing(
        budget_h,
        promised_h,
        earned_h,
        promised_earned_h,
        worked_h,
        earned_value.cost_index(earned_h, worked_h),
        schedule,
        at_index,
        earned_value.estimate_as_planned(budget_h, earned_h, worked_h),
        at_both,
        earned_value.to_complete_index(budget_h, earned_h, worked_h),
        labour_cost(spent, worked_h, at_index, budget_h - earned_h, at_both),
    )


class Planned(NamedTuple):
    """Of a stage: what was to be done and what was, in millionths of an hour."""

    budget: int
    promised: float | None
    """Planned value; None: the stage has no date yet."""
    earned: int


def spent_in(added: Added, cells: Sequence[int], table_hour: Decimal | None) -> Spent:
    """What some cells of sums cost together."""
    priced = sum(map(added.priced.__getitem__, cells))
    return Spent(added.cost_of(cells), float(hours_of(priced)), table_hour)


class Standings:
    """The record up to the end of a day, asked stage by stage, job by job, or whole."""

    def __init__(self, book: Book, day: date) -> None:
        """Everything after `day` is left out."""
        self._book = book
        span = Span(None, day)
        entries = book.entries.within(span)
        self._added = added_up(book, entries, entries.stage, len(book.job_of))
        self.table_hour = table_hour_cost(book)
        """Cost of an hour of the table's work; None: unknown."""
        self._earned = stage_gains(gains_within(book.gains, span))
        self._shares: Mapping[int, float] = promised_shares(book, day)
        self._known: dict[tuple[int, ...], Standing] = {}  # a job's line and its margin both ask

    def planned(self, stage: int) -> Planned:
        """Of one stage, by its place in the branch's table."""
        budget, share = self._book.planned_micro_h(stage), self._shares.get(stage)
        promised = None if share is None else budget * share
        return Planned(budget, promised, self._earned.get(stage, 0))

    def of(self, stages: Iterable[int]) -> Standing:
        """Of some stages together, by their places in the branch's table."""
        places = tuple(stages)
        if places not in self._known:
            self._known[places] = self._of(places)
        return self._known[places]

    def _of(self, places: tuple[int, ...]) -> Standing:
        budget = earned = promised_earned = worked = 0
        promised = 0.0
        for stage in places:
            one = self.planned(stage)
            budget += one.budget
            earned += one.earned
            worked += self._added.worked[stage]
            if one.promised is not None:
                promised += one.promised
                promised_earned += one.earned
        return stand(
            float(hours_of(budget)),
            promised / 1e6,
            float(hours_of(earned)),
            float(hours_of(promised_earned)),
            float(hours_of(worked)),
            spent_in(self._added, places, self.table_hour),
        )

    def of_stages(self, only: Collection[str] | None = None) -> dict[str, Standing]:
        """Each stage by itself, or only some."""
        rows = enumerate(self._book.branch.stages)
        return {row.stage: self.of([at]) for at, row in rows if only is None or row.stage in only}

    def of_jobs(self, only: Collection[str] | None = None) -> dict[str, Standing]:
        """Each job, or only some."""
        jobs = self._book.branch.jobs
        members: list[list[int]] = [[] for _ in jobs]
        for stage, job in enumerate(self._book.job_of):
            members[job].append(stage)
        rows = enumerate(jobs)
        return {
            row.job: self.of(members[at]) for at, row in rows if only is None or row.job in only
        }

    def in_all(self) -> Standing:
        """The whole branch."""
        return self.of(range(len(self._book.job_of)))
