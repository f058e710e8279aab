"""How work stands at the end of a day: indices and hours at completion."""

from collections.abc import Collection, Iterable, Mapping
from datetime import date

from crewplan.ledger import earned_value
from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within, stage_gains
from crewplan.ledger.entries import add_up, hours_of
from crewplan.ledger.promised import promised_shares
from crewplan.model.ledger import Span, Standing


def stand(
    budget_h: float, promised_h: float, earned_h: float, promised_earned_h: float, worked_h: float
) -> Standing:
    """All figures of earned value; the schedule index holds like against like."""
    schedule = earned_value.schedule_index(promised_earned_h, promised_h)
    return Standing(
        budget_h,
        promised_h,
        earned_h,
        promised_earned_h,
        worked_h,
        earned_value.cost_index(earned_h, worked_h),
        schedule,
        earned_value.estimate_at_index(budget_h, earned_h, worked_h),
        earned_value.estimate_as_planned(budget_h, earned_h, worked_h),
        earned_value.estimate_at_both(budget_h, earned_h, worked_h, schedule),
        earned_value.to_complete_index(budget_h, earned_h, worked_h),
    )


class Standings:
    """The record up to the end of a day, asked stage by stage, job by job, or whole."""

    def __init__(self, book: Book, day: date) -> None:
        """Everything after `day` is left out."""
        self._book = book
        span = Span(None, day)
        entries = book.entries.within(span)
        self._worked = add_up(entries.stage, entries.micro_h)
        self._earned = stage_gains(gains_within(book.gains, span))
        self._shares: Mapping[int, float] = promised_shares(book, day)

    def of(self, stages: Iterable[int]) -> Standing:
        """Of some stages together, by their places in the branch's table."""
        budget = earned = promised_earned = worked = 0
        promised_h = 0.0
        for stage in stages:
            planned = self._book.planned_micro_h(stage)
            gained = self._earned.get(stage, 0)
            budget += planned
            earned += gained
            worked += self._worked.get(stage, 0)
            share = self._shares.get(stage)
            if share is not None:
                promised_h += float(hours_of(planned)) * share
                promised_earned += gained
        return stand(
            float(hours_of(budget)),
            promised_h,
            float(hours_of(earned)),
            float(hours_of(promised_earned)),
            float(hours_of(worked)),
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
