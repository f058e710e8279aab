"""Some weeks ahead: hours wanted against hours there, by skill."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.job_hours import DAY_PERSON_H
from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day, local_day
from crewplan.model.hours import StageHours
from crewplan.model.promise import SkillOutlook, SkillWeek
from crewplan.placing.crew_days import CrewDays
from crewplan.scheduling.promising.able import crews_over, led
from crewplan.scheduling.promising.backlog import Backlog, arrivals
from crewplan.scheduling.promising.queue import Bools, serve
from crewplan.scheduling.promising.season import open_shares
from crewplan.scheduling.promising.waiting import record_of
from crewplan.scheduling.promising.work import (
    WorkClass,
    by_class,
    exposure_mix,
    in_order_of_service,
)

Floats = NDArray[np.float64]

ALL_WORK, LEAD = "all work", "lead"
DRAWS = 300


@dataclass(frozen=True, slots=True, eq=False)
class _Skill:
    """Who has it, and which classes of work ask for it."""

    name: str
    crews: Bools
    """[C, T]."""
    asks: Bools
    """[K]."""


def _skills(crews: Sequence[CrewDays], classes: Sequence[WorkClass], days: int) -> list[_Skill]:
    every = np.ones(len(classes), np.bool_)
    shape = (len(crews), days)
    there = np.ones(shape, np.bool_)
    found = [
        _Skill(ALL_WORK, there, every),
        _Skill(LEAD, np.array([led(crew) for crew in crews], np.bool_).reshape(shape), every),
    ]
    nobody = np.zeros(days, np.bool_)
    for name in sorted({name for one in classes for name in one.certificates}):
        held = np.array([crew.held.get(name, nobody) for crew in crews], np.bool_).reshape(shape)
        asks = np.array([name in one.certificates for one in classes], np.bool_)
        found.append(_Skill(name, held, asks))
    return found


def _weeks(days: Sequence[date]) -> list[NDArray[np.int64]]:
    """Days (indices) of each week in turn."""
    of_week: dict[date, list[int]] = {}
    for index, day in enumerate(days):
        of_week.setdefault(day - timedelta(days=day.weekday()), []).append(index)
    return [np.array(held, dtype=np.int64) for held in of_week.values()]


def skill_outlook(
    branch: Branch,
    hours: Mapping[str, StageHours],
    now: datetime,
    *,
    weeks: int = 12,
    seed: int = 0,
    draws: int = DRAWS,
) -> SkillOutlook:
    """Open stages as they become ready, week by week, and what the crews can do of them.

    Args:
        branch: its tables.
        hours: by stage.
        now: the clock, timezone-aware.
        weeks: how far to look, from tomorrow on.
        seed: the same seed gives the same answer.
        draws: of lead times, hours and weather.
    """
    today = local_day(branch.settings, now)
    ahead = (today + timedelta(days=one) for one in range(1, 7 * weeks + 1))
    days = tuple(day for day in ahead if is_working_day(branch.settings, day))
    rows = tuple(row for row in branch.stages if not hours[row.stage].done)
    backlog = Backlog(branch, hours, record_of(branch, today), today, seed, draws, rows)
    if not days or not rows:
        return SkillOutlook((), {}, draws, ())
    of_class = by_class(rows, hours)
    classes = in_order_of_service(tuple(of_class))
    coming, later = arrivals(backlog, classes, days)
    at = branch.settings
    season = open_shares(branch, days, now, (at.latitude, at.longitude), seed, draws)
    productive = np.stack(
        [season.productive(exposure_mix(of_class[one])) for one in classes], axis=2
    )
    crews, people = crews_over(branch, days, classes)
    left = serve(crews, coming, productive).left
    # a class counts by its hours where several ask for one skill
    weight = coming.sum(axis=(0, 1)) + later.sum(axis=0)
    told: list[SkillWeek] = []
    skills = _skills(people, classes, len(days))
    for held in _weeks(days):
        for skill in skills:
            own = np.flatnonzero(skill.asks)
            new = coming[:, held][:, :, own].sum(axis=(1, 2))
            before = left[:, held[0] - 1][:, own].sum(axis=1) if held[0] else np.zeros(draws)
            after = left[:, held[-1]][:, own].sum(axis=1)
            open_share = np.average(productive[:, held][:, :, own], axis=2, weights=weight[own])
            capacity = (crews.hours * skill.crews)[:, held].sum(axis=0)
            told.append(
                SkillWeek(
                    skill=skill.name,
                    from_on=max(days[held[0]] - timedelta(days=days[held[0]].weekday()), today),
                    new_h=float(new.mean()),
                    wanted_h=float((new + before).mean()),
                    there_h=float((open_share * capacity).sum(axis=1).mean()),
                    left_h=float(after.mean()),
                    short_share=float((after > DAY_PERSON_H).mean()),
                )
            )
    return SkillOutlook(
        tuple(told),
        {skill.name: float(later[:, skill.asks].sum(axis=1).mean()) for skill in skills},
        draws,
        (*season.notes, *backlog.notes()),
    )
