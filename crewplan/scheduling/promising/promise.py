"""The day by which a new job is done with 50 % and with 80 % chance, behind all promised ones."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day, working_days
from crewplan.model.hours import StageHours
from crewplan.model.promise import LikelyDays, NewJob, Promise, StageOfPromise
from crewplan.model.takeoff import JobTakeOff
from crewplan.readiness.dates import HALF, LIKELY
from crewplan.readiness.first_visit import first_visits
from crewplan.readiness.needs import KIT, needs_of_all
from crewplan.scheduling.promising.able import crews_over
from crewplan.scheduling.promising.backlog import Backlog, arrivals
from crewplan.scheduling.promising.kit_day import kit_day
from crewplan.scheduling.promising.new_work import NewWork, Room
from crewplan.scheduling.promising.queue import serve
from crewplan.scheduling.promising.season import open_shares
from crewplan.scheduling.promising.waiting import Waiting, record_of
from crewplan.scheduling.promising.work import by_class, exposure_mix, in_order_of_service

Floats = NDArray[np.float64]

DRAWS = 500
FURTHEST_WORKING_DAYS = 260
"""About a year; what takes longer is not promised."""
_ROUNDING = 1e-9


def likely_days(when: Floats) -> LikelyDays:
    """[D] ordinals as the days by which half and four fifths of the draws are there."""
    ordered = np.sort(when)

    def reached(share: float) -> date | None:
        day = ordered[int(np.ceil(share * len(ordered) - _ROUNDING)) - 1]
        return date.fromordinal(int(day)) if np.isfinite(day) else None

    return LikelyDays(reached(HALF), reached(LIKELY))


def _room(
    branch: Branch,
    new: NewJob,
    hours: Mapping[str, StageHours],
    backlog: Backlog,
    now: datetime,
) -> tuple[Room, tuple[str, ...]]:
    """Serve all that is promised; what is left of the days, and what must be said of it."""
    first = backlog.today + timedelta(days=1)
    days = working_days(branch.settings, first, FURTHEST_WORKING_DAYS)
    of_class = by_class(backlog.rows, hours)
    known = in_order_of_service(tuple(of_class))
    own = tuple(by_class(new.stages, hours))
    coming, _ = arrivals(backlog, known, days)
    season = open_shares(branch, days, now, new.job.spot, backlog.seed, backlog.draws)
    productive = [season.productive(exposure_mix(of_class[one])) for one in known]
    crews, _ = crews_over(branch, days, (*known, *own))
    gets_on = np.stack(productive, axis=2) if productive else np.zeros_like(coming)
    served = serve(crews, coming, gets_on)
    free = {one: served.free[:, :, row] for row, one in enumerate(own)}
    return Room(days, free, season.share), (*season.notes, *backlog.notes())


def _shares(when: Floats, days: LikelyDays) -> tuple[float, float]:
    """Of draws that are there by each of the days."""
    half, likely = (
        0.0 if day is None else float((when <= day.toordinal()).mean())
        for day in (days.half_on, days.likely_on)
    )
    return half, likely


def _by_week(done: Floats, today: date) -> tuple[tuple[date, float], ...]:
    """Sundays and the share of draws that are done by then."""
    there = np.sort(done[np.isfinite(done)])
    if not there.size:
        return ()
    week = today + timedelta(days=6 - today.weekday())
    found: list[tuple[date, float]] = []
    while not found or found[-1][1] < len(there) / len(done) - _ROUNDING:
        by = int(np.searchsorted(there, week.toordinal(), side="right"))
        found.append((week, by / len(done)))
        week += timedelta(days=7)
    return tuple(found)


def promise(
    branch: Branch,
    new: NewJob,
    takeoffs: Mapping[str, JobTakeOff],
    hours: Mapping[str, StageHours],
    now: datetime,
    *,
    seed: int = 0,
    draws: int = DRAWS,
) -> Promise:
    """By which day the new job is done.

    Args:
        branch: its tables, the new job's rows among them.
        new: the new job.
        takeoffs: by job, the new one's among them.
        hours: by stage, likewise.
        now: the clock, timezone-aware.
        seed: the same seed gives the same answer.
        draws: of lead times, hours and weather.
    """
    today = local_day(branch.settings, now)
    own = frozenset(stage.stage for stage in new.stages)
    rows = tuple(row for row in branch.stages if row.stage not in own and not hours[row.stage].done)
    history = record_of(branch, today)
    backlog = Backlog(branch, hours, history, today, seed, draws, rows)
    inspected: list[Floats] = []
    kinds = needs_of_all(branch, new.stages)
    waiting = Waiting(
        branch, new.job, frozenset(k for one in kinds.values() for k in one) - new.in_hand,
        history, today, new.asked_on, seed, draws,
        lambda: inspected[-1] if inspected else np.full(draws, float(today.toordinal())),
    )  # fmt: skip
    room, notes = _room(branch, new, hours, backlog, now)
    kits, kit_notes, kit_unknown = kit_day(
        branch, new, takeoffs, hours, rows, waiting, KIT in new.in_hand
    )
    work = NewWork(branch, new, hours, room, waiting, kits)
    visit = first_visits(branch, today)[new.job.job]
    told: list[StageOfPromise] = []
    ended: Floats | None = None
    for stage in new.stages:
        start = work.may_start(stage, ended)
        ended = work.done(stage, start)
        if stage.kind == "inspection":
            ended = work.passed(stage, ended, visit)
            inspected.append(ended)
        told.append(
            StageOfPromise(
                stage.kind, hours[stage.stage].p50_h, likely_days(start), likely_days(ended)
            )
        )
    if inspected and not branch.inspections:
        notes += ("no record of first inspections: none is taken to fail",)
    no_record = (*waiting.no_record, *kit_unknown)
    notes += waiting.leaning()
    if ended is None or no_record:
        ended, told = np.full(draws, np.inf), []
    done = likely_days(ended)
    return Promise(
        done=done,
        done_p=_shares(ended, done),
        stages=tuple(told),
        by_week=_by_week(ended, today),
        no_record=no_record,
        behind_stages=len(rows),
        behind_h=sum(hours[row.stage].p50_h for row in rows),
        draws=draws,
        notes=(*notes, *kit_notes),
    )
