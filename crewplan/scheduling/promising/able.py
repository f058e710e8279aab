"""Which crews may do which class of work on which day, and how many hours they have."""

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.placing.crew_days import CrewDays, crew_days
from crewplan.placing.needs.equipment import usable
from crewplan.scheduling.promising.queue import Bools, Crews
from crewplan.scheduling.promising.work import WorkClass


def _lent(branch: Branch, name: str, days: tuple[date, ...]) -> Bools:
    """[T] whether all crews share such a piece on the day."""
    there = np.zeros(len(days), np.bool_)
    for row in branch.equipment:
        if row.equipment == name and row.quantity > 0:
            there |= np.array([usable(row, day) for day in days], dtype=np.bool_)
    return there


def _has(branch: Branch, crew: CrewDays, name: str, days: tuple[date, ...]) -> Bools:
    """[T] whether the crew has a piece of its own, or can borrow one."""
    if name not in crew.crew.equipment:
        return _lent(branch, name, days)
    due = crew.crew.equipment_due_on
    return np.array([due is None or day <= due for day in days], dtype=np.bool_)


def led(crew: CrewDays) -> Bools:
    """[T] whether a lead is there."""
    return np.array([any(p.role == "lead" for p in there) for there in crew.there], dtype=np.bool_)


def _may(branch: Branch, crew: CrewDays, one: WorkClass, days: tuple[date, ...]) -> Bools:
    fits = led(crew) & (crew.counted >= one.people)
    nobody = np.zeros(len(days), np.bool_)
    for name in one.certificates:
        fits = fits & crew.held.get(name, nobody)
    for name in one.equipment:
        fits = fits & _has(branch, crew, name, days)
    return np.asarray(fits, dtype=np.bool_)


def crews_over(
    branch: Branch, days: tuple[date, ...], classes: Sequence[WorkClass]
) -> tuple[Crews, tuple[CrewDays, ...]]:
    """Crews over `days` by the classes' order, and the same crews by their people.

    Of equipment that all share, that there is a piece counts, not how many at once.
    """
    of_day = tuple(crew_days(branch, crew, days) for crew in branch.crews)
    day_h = branch.settings.shift_h - branch.settings.break_h
    hours: NDArray[np.float64] = np.array(
        [crew.pace * day_h for crew in of_day], dtype=np.float64
    ).reshape(len(of_day), len(days))
    may = np.array(
        [[_may(branch, crew, one, days) for crew in of_day] for one in classes], dtype=np.bool_
    ).reshape(len(classes), len(of_day), len(days))
    return Crews(hours, may), of_day
