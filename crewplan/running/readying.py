"""The office's question: what does each stage still wait for, and whom do we call today?"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from crewplan.labour import stage_hours_all
from crewplan.model.asking_order import asking_order
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.horizon import Horizon
from crewplan.model.job_rows import Job, Stage
from crewplan.model.plan_row import PlanRow
from crewplan.model.readiness import StageReadiness, Supply
from crewplan.placing.price import Promise, day_of_delay
from crewplan.readiness import Kits, readiness, supply
from crewplan.readiness.ask_by import ask_by_in_order
from crewplan.readiness.calls import (
    Call,
    call_for_item,
    calls_for_overdue,
    calls_of_stage,
    dearest_first,
    overdue,
)
from crewplan.readiness.chances import asked_of
from crewplan.readiness.dates import with_guess
from crewplan.readiness.deliveries import Delivery, counted_deliveries
from crewplan.readiness.first_visit import first_visits
from crewplan.readiness.guesses import answers_if_asked, guesses, kinds_to_ask, unknown_days
from crewplan.readiness.history import History, history_of
from crewplan.readiness.orders import order_by, orders, suppliers
from crewplan.readiness.outlook import outlook
from crewplan.readiness.ready_view import ReadyView, StageReady
from crewplan.readiness.shortages import Claim, Missing, missing_items, shortages
from crewplan.readiness.soon_due import running_out
from crewplan.readiness.waits import Waits
from crewplan.running.clock import Clock
from crewplan.running.published import published_days
from crewplan.running.ready_days import FURTHEST, days_looked_at, in_line, wanted_on_of
from crewplan.running.week import horizon_of
from crewplan.takeoff import take_off_all


class UnknownStage(Exception):
    """A stage that the folder does not have; the text is one sentence."""


@dataclass(frozen=True, slots=True, eq=False)
class _Looked:
    """All that the answers of single stages are made from; mappings are by stage."""

    branch: Branch
    horizon: Horizon
    today: date
    days: tuple[date, ...]
    jobs: Mapping[str, Job]
    open_names: frozenset[str]
    published: Mapping[str, PlanRow]
    wanted: Mapping[str, date]
    waits: Mapping[str, StageReadiness]
    missing: Mapping[str, tuple[Missing, ...]]
    history: History
    guessed: Mapping[str, NDArray[np.float64]]
    """Over `far`: chances of stages of which the record names no day."""
    far: tuple[date, ...]
    order: Mapping[str, tuple[str, ...]]
    deliveries: tuple[Delivery, ...]
    sellers: Mapping[str, tuple[str, ...]]


def _look(branch: Branch, clock: Clock, first: date | None, days: int, store: Supply) -> _Looked:
    today = local_day(branch.settings, clock.now)
    horizon = horizon_of(branch, clock, first, days)
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, today)
    jobs = {job.job: job for job in branch.jobs}
    published: dict[str, PlanRow] = {}
    for plan_row in sorted(branch.plan, key=lambda row: (row.start_on, row.part)):
        published.setdefault(plan_row.stage, plan_row)
    wanted = {
        row.stage: wanted_on_of(published.get(row.stage), jobs[row.job], today)
        for row in branch.stages
    }
    seen = days_looked_at(branch, horizon, wanted.values(), store, today)
    open_stages = [row for row in branch.stages if not hours[row.stage].done]
    kits = Kits(branch, takeoffs, hours)
    line = [
        Claim(
            row.stage,
            kits.of(row.stage),
            wanted[row.stage] if row.stage in published else None,
        )
        for row in in_line(open_stages, published, jobs)
    ]
    history = history_of(branch, today)
    waits = readiness(branch, hours, seen, clock.now, history=history)
    missing = missing_items(line, store, seen)
    far = tuple(today + timedelta(days=ahead) for ahead in range(FURTHEST.days + 1))
    return _Looked(
        branch=branch,
        horizon=horizon,
        today=today,
        days=seen,
        jobs=jobs,
        open_names=frozenset(row.stage for row in open_stages),
        published=published,
        wanted=wanted,
        waits=waits,
        missing=missing,
        history=history,
        guessed=guesses(branch, hours, clock.now, history, unknown_days(waits, missing, seen), far),
        far=far,
        order=asking_order(branch.settings),
        deliveries=counted_deliveries(branch, today),
        sellers=suppliers(branch.arrivals),
    )


def _answer(looked: _Looked, row: Stage) -> StageReady:
    name, job, wanted_on = row.stage, looked.jobs[row.job], looked.wanted[row.stage]
    least = looked.branch.settings.ready_probability
    waits, missing = looked.waits[name], looked.missing.get(name, ())
    short = shortages(missing, looked.days, wanted_on)
    before = [other for other in row.after if other in looked.open_names]
    inspected = row.kind == "inspection"
    told = outlook(waits, missing, looked.days, looked.horizon.frozen, before if inspected else ())
    if name in looked.guessed:
        told = replace(told, dates=with_guess(told.dates, looked.guessed[name], looked.far))
    asking = kinds_to_ask(waits, wanted_on)

    def record(kind: str) -> Waits | None:
        return looked.history.waits(kind, asked_of(kind, job))

    return StageReady(
        row=row,
        job=job,
        done=name not in looked.open_names,
        wanted_on=wanted_on,
        published=looked.published.get(name),
        waits=waits,
        missing=missing,
        outlook=told,
        short=short,
        ask_by=ask_by_in_order(asking, looked.order, record, wanted_on, least),
        if_asked_today=answers_if_asked(
            asking, waits.states, looked.order, record, looked.days, FURTHEST.days
        ),
        order_by={
            row.item: order_by(
                row.item, looked.sellers.get(row.item, ()), looked.history, wanted_on, least
            )
            for row in short
        },
    )


def _calls(looked: _Looked, answers: Iterable[StageReady]) -> Iterator[Call]:
    inspecting = {
        row.job
        for row in looked.branch.stages
        if row.kind == "inspection" and row.stage in looked.open_names
    }
    due = overdue(looked.deliveries, looked.today)
    for answer in answers:
        frozen = answer.wanted_on in looked.horizon.frozen
        yield from calls_of_stage(
            answer.waits,
            answer.row,
            answer.wanted_on,
            bisect_left(looked.days, answer.wanted_on),
            1.0 if frozen else looked.branch.settings.ready_probability,
            answer.job.job in inspecting,
            answer.ask_by,
            looked.order,
        )
        yield from (call_for_item(item, answer.order_by[item.item][1]) for item in answer.short)
        yield from calls_for_overdue(
            answer.missing,
            due,
            answer.wanted_on,
            bisect_left(looked.days, answer.wanted_on),
        )


def _cost_a_day(looked: _Looked, answers: Iterable[StageReady]) -> dict[str, float]:
    """By stage: what one more day costs, from the day on which it likely ends.

    That is the end of its published days, else its promise; later by as much as its 80 % date lies
    after its day.
    """
    still_open: dict[str, int] = {}
    for row in looked.branch.stages:
        still_open[row.job] = still_open.get(row.job, 0) + (row.stage in looked.open_names)
    found: dict[str, float] = {}
    for answer in answers:
        job, end_on = answer.job, answer.wanted_on
        if answer.published is not None:
            end_on = max([end_on, *published_days(looked.branch, answer.published, job)])
        likely_on = answer.outlook.dates.likely_on or answer.wanted_on
        end_on += max(likely_on - answer.wanted_on, timedelta())
        promise = Promise(looked.today, job.due_on, job.priority, still_open[job.job])
        found[answer.row.stage] = day_of_delay(promise, end_on)
    return found


def ask_ready(
    branch: Branch,
    clock: Clock,
    first: date | None = None,
    days: int = 10,
    *,
    stage: str | None = None,
) -> ReadyView:
    """What each stage that is not done waits for; with `stage` that one, done or not.

    Material goes to the published stages by their start, then to the others by their promises,
    until the next plan decides who gets it.

    Raises:
        UnknownStage: a stage that the folder does not have.
    """
    if stage is not None and stage not in {row.stage for row in branch.stages}:
        raise UnknownStage(f"{stage!r} is no stage of this folder; stages.csv lists them")
    store = supply(branch, local_day(branch.settings, clock.now))
    looked = _look(branch, clock, first, days, store)
    every = [_answer(looked, row) for row in branch.stages]
    still_open = [answer for answer in every if not answer.done]
    calls = dearest_first(
        _calls(looked, still_open),
        [answer.row for answer in still_open],
        _cost_a_day(looked, still_open),
    )
    to_order = orders(
        (item for answer in still_open for item in answer.short),
        looked.sellers,
        looked.history,
        branch.settings.ready_probability,
    )
    open_rows = [answer.row for answer in still_open]
    told = still_open
    if stage is not None:
        told = [answer for answer in every if answer.row.stage == stage]
        calls = tuple(call for call in calls if stage in call.stages)
        to_order = tuple(order for order in to_order if stage in order.stages)
    return ReadyView(
        branch=branch,
        clock=clock.kind,
        today=looked.today,
        horizon=looked.horizon,
        days=looked.days,
        stages=tuple(told),
        orders=to_order,
        calls=calls,
        deliveries=looked.deliveries,
        first_visits=first_visits(branch, looked.today),
        notes=(
            *store.notes,
            *running_out(branch, open_rows, looked.today, looked.horizon.days[-1]),
        ),
    )
