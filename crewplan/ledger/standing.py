"""How work stands at the end of a day: indices, hours and labour cost at completion."""

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from crewplan.ledger import earned_value
from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within, stage_gains
from crewplan.ledger.entries import Entries, Ints, add_up, hours_of
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


class Costs:
    """Exact loaded cost of hours in groups."""

    def __init__(self, book: Book, entries: Entries, groups: Ints) -> None:
        """Of each group its hours, and what of them has a price."""
        self._table_hour = table_hour_cost(book)
        self.worked: dict[int, int] = {}
        self.priced: dict[int, int] = {}
        self.cost: dict[int, Decimal] = {}
        people = max(len(book.people), 1)
        for key, micro_h in add_up(groups * people + entries.person, entries.micro_h).items():
            group, person = divmod(key, people)
            self.worked[group] = self.worked.get(group, 0) + micro_h
            an_hour = book.costs[person]
            if an_hour is not None:
                self.priced[group] = self.priced.get(group, 0) + micro_h
                self.cost[group] = self.cost.get(group, Decimal(0)) + micro_h * an_hour

    def spent(self, groups: Iterable[int]) -> Spent:
        """Some groups together."""
        cost, priced = Decimal(0), 0
        for group in groups:
            if group in self.cost:
                cost += self.cost[group]
                priced += self.priced[group]
        return Spent(cost.scaleb(-6), float(hours_of(priced)), self._table_hour)


class Standings:
    """The record up to the end of a day, asked stage by stage, job by job, or whole."""

    def __init__(self, book: Book, day: date) -> None:
        """Everything after `day` is left out."""
        self._book = book
        span = Span(None, day)
        entries = book.entries.within(span)
        self._costs = Costs(book, entries, entries.stage)
        self._earned = stage_gains(gains_within(book.gains, span))
        self._shares: Mapping[int, float] = promised_shares(book, day)

    def planned(self, stage: int) -> Planned:
        """Of one stage, by its place in the branch's table."""
        budget, share = self._book.planned_micro_h(stage), self._shares.get(stage)
        promised = None if share is None else budget * share
        return Planned(budget, promised, self._earned.get(stage, 0))

    def of(self, stages: Iterable[int]) -> Standing:
        """Of some stages together, by their places in the branch's table."""
        places = list(stages)
        budget = earned = promised_earned = worked = 0
        promised = 0.0
        for stage in places:
            one = self.planned(stage)
            budget += one.budget
            earned += one.earned
            worked += self._costs.worked.get(stage, 0)
            if one.promised is not None:
                promised += one.promised
                promised_earned += one.earned
        return stand(
            float(hours_of(budget)),
            promised / 1e6,
            float(hours_of(earned)),
            float(hours_of(promised_earned)),
            float(hours_of(worked)),
            self._costs.spent(places),
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
