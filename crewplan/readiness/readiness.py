"""How ready each stage is on each day, material from stock apart."""

from collections.abc import Mapping
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.calendar import frozen_days, local_day
from crewplan.model.hours import StageHours
from crewplan.model.readiness import NeedChance, StageReadiness
from crewplan.model.waiting_rows import Requirement
from crewplan.readiness.chances import need_chance
from crewplan.readiness.history import History, history_of
from crewplan.readiness.needs import CUSTOMER_CONFIRMED, INSPECTION_PASSED, KIT, needs_of_all

_IN_HAND = ("granted", "not_needed")


def readiness(
    branch: Branch,
    hours: Mapping[str, StageHours],
    days: tuple[date, ...],
    now: datetime,
    *,
    history: History | None = None,
    only: frozenset[str] | None = None,
    past_record: bool = False,
) -> dict[str, StageReadiness]:
    """Every stage of the branch, by its number, over `days`.

    `kit` only counts where a requirement row states it; else it is the store's business.

    Args:
        branch: the tables.
        hours: by stage.
        days: ascending.
        now: the clock.
        history: the branch's record; None: read here.
        only: the stages asked for; None: all.
        past_record: chances go on past the record by its law (`need_chance`): never to plan by.
    """
    today = local_day(branch.settings, now)
    ordinals = np.array([day.toordinal() for day in days], dtype=np.float64)
    jobs = {job.job: job for job in branch.jobs}
    rows = {(row.job, row.kind): row for row in branch.requirements}
    rows |= _passed_inspections(branch, hours, rows)
    history = history or history_of(branch, today)
    calls = _stages_to_call_about(branch, hours, rows, now)
    kinds = needs_of_all(branch, branch.stages)
    found: dict[str, StageReadiness] = {}
    for stage in branch.stages:
        if only is not None and stage.stage not in only:
            continue
        states = tuple(
            need_chance(
                kind,
                rows.get((stage.job, kind)),
                jobs[stage.job],
                history,
                ordinals,
                today,
                past_record=past_record,
            )
            for kind in kinds[stage.stage]
            if kind != KIT or (stage.job, kind) in rows
        )
        p, granted, holds = _together(states, ordinals)
        call = (CUSTOMER_CONFIRMED,) if stage.stage in calls else ()
        found[stage.stage] = StageReadiness(stage.stage, p, granted, holds, states, call)
    return found


def _together(
    states: tuple[NeedChance, ...], days: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.bool_], tuple[str, ...]]:
    """Product of the chances, whether all are certain, and the least likely of the others."""
    if not states:
        return np.ones_like(days), np.ones(len(days), dtype=np.bool_), ("",) * len(days)
    chances = np.stack([state.p for state in states])
    in_hand = np.array([[state.state in _IN_HAND] for state in states])
    sure = (chances >= 1) & in_hand
    least = np.where(sure, np.inf, chances).argmin(axis=0)
    granted: NDArray[np.bool_] = sure.all(axis=0)
    names = (*(state.kind for state in states), "")
    holds = tuple(map(names.__getitem__, np.where(granted, len(states), least).tolist()))
    return chances.prod(axis=0), granted, holds


def _passed_inspections(
    branch: Branch,
    hours: Mapping[str, StageHours],
    rows: Mapping[tuple[str, str], Requirement],
) -> dict[tuple[str, str], Requirement]:
    """`inspection_passed` of the jobs whose inspection stages are all done; a refusal stands."""
    done: dict[str, bool] = {}
    for stage in branch.stages:
        if stage.kind == "inspection":
            done[stage.job] = done.get(stage.job, True) and hours[stage.stage].done
    passed: dict[tuple[str, str], Requirement] = {}
    for job, all_done in done.items():
        key = (job, INSPECTION_PASSED)
        if all_done and (key not in rows or rows[key].state in ("open", "asked")):
            passed[key] = Requirement(job, INSPECTION_PASSED, "granted")
    return passed


def _stages_to_call_about(
    branch: Branch,
    hours: Mapping[str, StageHours],
    rows: Mapping[tuple[str, str], Requirement],
    now: datetime,
) -> frozenset[str]:
    """Stages published inside the frozen days whose customers have not confirmed."""
    frozen = frozen_days(branch.settings, now) if branch.plan else frozenset()
    job_of = {stage.stage: stage.job for stage in branch.stages}

    def confirmed(stage: str) -> bool:
        row = rows.get((job_of[stage], CUSTOMER_CONFIRMED))
        return row is not None and row.state in _IN_HAND

    return frozenset(
        row.stage
        for row in branch.plan
        if row.start_on in frozen and not hours[row.stage].done and not confirmed(row.stage)
    )
