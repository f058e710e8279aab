"""From a job's price to its margin: as planned, so far, and at completion."""

from collections.abc import Collection
from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal
from typing import NamedTuple

import numpy as np

from crewplan.labour import stage_shares
from crewplan.ledger.book import Book
from crewplan.ledger.earned import gains_within, stage_gains
from crewplan.ledger.equipment import EquipmentPrices, days_for, site_days
from crewplan.ledger.labour_cost import NO_COST, NOBODY, table_hour_cost
from crewplan.ledger.lines import hours_of_groups
from crewplan.ledger.margin_spread import RestSpreads
from crewplan.ledger.material import Material
from crewplan.ledger.standing import Standings
from crewplan.model.ledger import (
    Figure,
    HoursLine,
    JobMargin,
    Span,
    Standing,
    Undefined,
    Waterfall,
)

_NO_HOURS = HoursLine("", Decimal(0), Decimal(0), (), Decimal(0), Decimal(0))


def _cents(amount: Decimal) -> int:
    return int((amount * 100).to_integral_value(ROUND_HALF_EVEN))


class _Labour(NamedTuple):
    """Loaded cost of some stages' hours, in cents."""

    planned: int
    productive: int
    lost: int
    rest: int
    """Still to be spent."""


_NO_LABOUR = _Labour(0, 0, 0, 0)


class Margins:
    """Margins of jobs at the end of a day."""

    def __init__(self, book: Book, day: date, jobs: Collection[str], standings: Standings) -> None:
        """Of these jobs; everything after `day` is left out, as of the standings."""
        span = Span(None, day)
        rows = book.branch.stages
        self._book = book
        job_of = np.array(book.job_of, dtype=np.int64)
        wanted = np.array(
            [book.branch.jobs[job].job in jobs for job in book.job_of], dtype=np.bool_
        )
        entries = book.entries.within(span)
        entries = entries.where(wanted[entries.stage])
        returns = np.array([row.kind == "return" for row in rows], dtype=np.int64)
        self._lines = hours_of_groups(book, entries, (2 * job_of + returns)[entries.stage])
        self._standings = standings
        self._earned = stage_gains(gains_within(book.gains, span))
        self._site = site_days(book, entries)
        self._equipment = EquipmentPrices(book)
        self._spreads = RestSpreads(book, day)
        self._shares = stage_shares(rows)
        self._hour_cost = table_hour_cost(book)
        self._stages: dict[int, tuple[list[int], list[int]]] = {}
        for stage, job in enumerate(book.job_of):
            self._stages.setdefault(job, ([], []))[returns[stage]].append(stage)

    def of(self, job: int) -> JobMargin:
        """One job, by its place in the branch's table."""
        row = self._book.branch.jobs[job]
        work, again = self._stages.get(job, ([], []))
        stages = work + again
        stands = self._standings.of(stages)
        notes: dict[str, None] = {}
        price = _cents(Decimal(str(row.price)))
        if price == 0:
            notes["the job has no price"] = None
        of_work = self._standings.of(work) if again else stands
        own = self._labour(self._lines.get(2 * job, _NO_HOURS), of_work, notes)
        back = _NO_LABOUR
        if again:
            line = self._lines.get(2 * job + 1, _NO_HOURS)
            back = self._labour(line, self._standings.of(again), notes)
        material = self._material_parts(self._book.material[row.job], work, notes)
        equipment = self._equipment_parts(work, notes)
        for_again = self._equipment_parts(again, notes)
        spent = back.productive + back.lost
        planned, now, ends = (
            Waterfall(price, labour, material[at], equipment[at], lost, returns + for_again[at])
            for at, (labour, lost, returns) in enumerate(
                (
                    (own.planned, 0, back.planned),
                    (own.productive, own.lost, spent),
                    (own.productive + own.rest, own.lost, spent + back.rest),
                )
            )
        )
        share: Figure = (
            stands.earned_h / stands.budget_h
            if stands.budget_h > 0
            else Undefined("the job has no planned hours")
        )
        low = high = ends.margin
        if rest := own.rest + back.rest:
            factors = self._spreads.of(stages)
            low -= round(rest * (factors.p90 - 1))
            high -= round(rest * (factors.p10 - 1))
        there = (self._site[at].crew_days for at in stages if at in self._site)
        crew_days = len(frozenset[tuple[int, int]]().union(*there))
        power_w = self._book.takeoffs[row.job].power_w
        return JobMargin(
            row.job, planned, now, ends, low, high, power_w, crew_days, share, tuple(notes)
        )

    def _labour(self, line: HoursLine, stands: Standing, notes: dict[str, None]) -> _Labour:
        """Of some stages together.

        The rest goes on at the cost index so far, at the mean cost of an hour so far; where there
        is no index, as planned. What is lost on the way so far is part of that pace.
        """
        if line.unpriced_h:
            notes[f"{line.unpriced_h.normalize():f} h are of people whose cost is unknown"] = None
        if self._hour_cost is None:
            notes[NOBODY.why] = None
        table_cost = self._hour_cost or Decimal(0)
        planned = _cents(Decimal(stands.budget_h) * table_cost)
        left_h = stands.budget_h - stands.earned_h
        rest = 0
        if left_h > 0:
            priced_h = line.worked_h - line.unpriced_h
            estimate = stands.estimate_at_index_h
            if isinstance(estimate, Undefined) or priced_h == 0:
                why = estimate.why if isinstance(estimate, Undefined) else NO_COST.why
                notes[f"the rest is taken as planned: {why}"] = None
                rest = _cents(Decimal(left_h) * table_cost)
            else:
                rest = _cents(Decimal(estimate - stands.worked_h) * line.cost / priced_h)
        return _Labour(planned, _cents(line.productive_cost), _cents(line.lost_cost), rest)

    def _material_parts(
        self, whole: Material, stages: list[int], notes: dict[str, None]
    ) -> tuple[int, int, int]:
        """Roof stages take the material, by their share, once somebody was there."""
        rows = self._book.branch.stages
        roofs = [stage for stage in stages if rows[stage].kind == "roof"]
        if roofs and whole.unpriced:
            notes[f"no price for material: {', '.join(whole.unpriced)}"] = None
        drawn = [at for at in roofs if at in self._site or self._earned.get(at, 0) > 0]
        share, so_far = (
            sum((Decimal(self._shares[rows[at].stage]) for at in group), Decimal(0))
            for group in (roofs, drawn)
        )
        planned = _cents(whole.cost * share)
        return planned, _cents(whole.cost * so_far), planned

    def _equipment_parts(self, stages: list[int], notes: dict[str, None]) -> tuple[int, int, int]:
        planned = now = rest = Decimal(0)
        missing: dict[str, None] = {}
        for stage in stages:
            if not self._book.branch.stages[stage].equipment:
                continue
            planned_micro_h = self._book.planned_micro_h(stage)
            there = self._site.get(stage)
            before, unknown = self._equipment.a_day(stage, frozenset())
            a_day, unpriced = (
                self._equipment.a_day(stage, there.crews) if there else (before, unknown)
            )
            missing |= dict.fromkeys(unpriced)
            planned += before * days_for(planned_micro_h)
            now += a_day * (there.days if there else 0)
            rest += a_day * days_for(planned_micro_h - self._earned.get(stage, 0))
        if missing:
            notes[f"no price for equipment: {', '.join(missing)}"] = None
        return _cents(planned), _cents(now), _cents(now + rest)


def job_margins(
    book: Book,
    day: date,
    only: Collection[str] | None = None,
    standings: Standings | None = None,
) -> dict[str, JobMargin]:
    """Every job of the branch, or only some, at the end of a day.

    `standings` are those of the same book and day, where they are there already.
    """
    rows = book.branch.jobs
    jobs = frozenset(row.job for row in rows) if only is None else frozenset(only)
    margins = Margins(book, day, jobs, standings or Standings(book, day))
    return {row.job: margins.of(at) for at, row in enumerate(rows) if row.job in jobs}
