"""The record of hours as what can be learned from: hours of known work, a line each."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.stage_hours import latest_progress
from crewplan.labour.units import Array, Ints, Units
from crewplan.model.branch import Branch
from crewplan.model.learned import LeftOut, Unused
from crewplan.model.work_rows import HoursWorked, Progress

LONG_DAY_H = 16.0
"""More hours of one person in a day are asked about, and nothing is learned from them. Assumed."""
_MICRO = 1_000_000


@dataclass(frozen=True, slots=True, eq=False)
class Worked:
    """Productive hours on known work. A line is a step of a stage, or a whole stage whose hours are
    not told apart by step.

    Hours are of the table's pace: an hour of somebody with a pace of 1.2 counts 1.2.
    """

    stage: Ints
    """By line: into the branch's stages, in ascending order."""
    step: Ints
    """By line: into `Units.steps`; -1: all steps of the stage."""
    hours: Array
    """By line: person-hours of the table's pace."""
    crews: Array
    """Lines x crews: which share of the hours was whose; people who left count for nobody."""
    done: Array
    """Stages x steps: share done when the last of these hours were worked."""
    all_done: NDArray[np.bool_]
    """By stage: all of its steps that have hours are done."""
    finished: NDArray[np.bool_]
    """By stage: done, and the hours of all of its steps are known and believed."""
    first_day: Ints
    """By stage: proleptic ordinal of its first productive day; 0: nobody was there."""
    last_day: Ints
    """By stage, likewise."""
    left_out: tuple[LeftOut, ...]
    unused: tuple[Unused, ...]


@dataclass(slots=True)
class _OfStage:
    """What was entered for one stage."""

    first: int
    last: int
    micro_h: dict[tuple[str, str], int]
    """By step and person."""
    spoiled: set[str]
    """Steps with hours of a day that is too long to be believed."""


def worked(branch: Branch, units: Units, today: date) -> Worked:
    """Hours and progress up to and with `today`; lost hours are no work and stay out.

    Where any hours of a stage have no step, all of them stand for the stage as a whole. Hours of an
    unfinished stage count up to the day on which its progress was last seen.
    """
    stage_at = {row.stage: at for at, row in enumerate(branch.stages)}
    step_at = {step: at for at, step in enumerate(units.steps)}
    done = np.zeros((len(stage_at), len(step_at)))
    for stage, shares in latest_progress(branch.progress, today).items():
        for step, share in shares.items():
            if step in step_at and stage in stage_at:
                done[stage_at[stage], step_at[step]] = share
    has_work = units.in_steps(units.whole[units.group_of]) > 0
    all_done = np.asarray(has_work.any(axis=1) & (~has_work | (done >= 1)).all(axis=1))
    until = _seen_until(branch.progress, today)
    counted: list[HoursWorked] = []
    early_h = 0.0
    for row in branch.hours_worked:
        if row.cause or row.day > today or row.stage not in stage_at:
            continue
        if all_done[stage_at[row.stage]] or row.day <= until.get(row.stage, date.min):
            counted.append(row)
        else:
            early_h += row.hours
    left_out, long_days = _long_days(counted)
    entered = _by_stage(counted, long_days)
    lines = _Lines(branch, step_at)
    for stage in sorted(entered, key=stage_at.__getitem__):
        lines.add(stage_at[stage], entered[stage], done, has_work)
    days = np.zeros((2, len(stage_at)), dtype=np.int64)
    for stage, one in entered.items():
        days[:, stage_at[stage]] = one.first, one.last
    return Worked(
        stage=np.array(lines.stage, dtype=np.int64),
        step=np.array(lines.step, dtype=np.int64),
        hours=np.array(lines.hours, dtype=np.float64),
        crews=np.array(lines.crews, dtype=np.float64).reshape(-1, len(branch.crews)),
        done=done,
        all_done=all_done,
        finished=all_done & ~np.isin(np.arange(len(stage_at)), lines.gaps),
        first_day=days[0],
        last_day=days[1],
        left_out=left_out,
        unused=lines.unused(early_h),
    )


def _seen_until(rows: Sequence[Progress], today: date) -> dict[str, date]:
    seen: dict[str, date] = {}
    for row in rows:
        if row.day <= today and row.day > seen.get(row.stage, date.min):
            seen[row.stage] = row.day
    return seen


def _long_days(rows: Sequence[HoursWorked]) -> tuple[tuple[LeftOut, ...], set[tuple[str, date]]]:
    sums: dict[tuple[str, date], int] = defaultdict(int)
    for row in rows:
        sums[row.person, row.day] += round(row.hours * _MICRO)
    long = {key for key, micro_h in sums.items() if micro_h > LONG_DAY_H * _MICRO}
    told = sorted((day, person) for person, day in long)
    return (
        tuple(
            LeftOut("long day", hours_h=sums[person, day] / _MICRO, day=day, person=person,
                    high_h=LONG_DAY_H)
            for day, person in told
        ),
        long,
    )  # fmt: skip


def _by_stage(rows: Sequence[HoursWorked], long_days: set[tuple[str, date]]) -> dict[str, _OfStage]:
    found: dict[str, _OfStage] = {}
    for row in rows:
        day = row.day.toordinal()
        one = found.get(row.stage)
        if one is None:
            one = found[row.stage] = _OfStage(day, day, defaultdict(int), set())
        one.first, one.last = min(one.first, day), max(one.last, day)
        one.micro_h[row.step, row.person] += round(row.hours * _MICRO)
        if (row.person, row.day) in long_days:
            one.spoiled.add(row.step)
    return found


class _Lines:
    """Lines as they are gathered, and what could not become one."""

    def __init__(self, branch: Branch, step_at: Mapping[str, int]) -> None:
        crew_at = {row.crew: at for at, row in enumerate(branch.crews)}
        self.pace = {row.person: row.pace for row in branch.people}
        self.crew_of = {row.person: crew_at[row.crew] for row in branch.people}
        self.no_crews = [0.0] * len(crew_at)
        self.step_at = step_at
        self.stage: list[int] = []
        self.step: list[int] = []
        self.hours: list[float] = []
        self.crews: list[list[float]] = []
        self.gaps: list[int] = []
        self.no_progress_h = 0.0
        self.no_hours = 0

    def add(self, at: int, one: _OfStage, done: Array, has_work: NDArray[np.bool_]) -> None:
        """The lines of a stage."""
        by_step: dict[str, dict[str, int]] = {}
        for (step, person), micro_h in sorted(one.micro_h.items()):
            by_step.setdefault(step, {})[person] = micro_h
        worked_on = {step for step in self.step_at if has_work[at, self.step_at[step]]}
        if one.spoiled:
            self.gaps.append(at)
        if "" in by_step:
            people: dict[str, int] = defaultdict(int)
            for its in by_step.values():
                for person, micro_h in its.items():
                    people[person] += micro_h
            self._line(at, -1, people, bool(one.spoiled), bool((done[at] * has_work[at] > 0).any()))
            return
        for step, its in by_step.items():
            known = step in worked_on and done[at, self.step_at[step]] > 0
            self._line(at, self.step_at.get(step, -1), its, step in one.spoiled, known)
        silent = [step for step in worked_on - by_step.keys() if done[at, self.step_at[step]] > 0]
        if silent:
            self.gaps.append(at)
            self.no_hours += len(silent)

    def _line(
        self, at: int, step: int, people: Mapping[str, int], spoiled: bool, known: bool
    ) -> None:
        if spoiled:
            return
        if not known:
            self.no_progress_h += sum(people.values()) / _MICRO
            return
        crews = list(self.no_crews)
        hours = sum(people.values()) / _MICRO
        for person, micro_h in people.items():
            if person in self.crew_of:
                crews[self.crew_of[person]] += micro_h / _MICRO / hours
        self.stage.append(at)
        self.step.append(step)
        self.hours.append(
            sum(micro_h * self.pace.get(person, 1.0) for person, micro_h in people.items()) / _MICRO
        )
        self.crews.append(crews)

    def unused(self, early_h: float) -> tuple[Unused, ...]:
        """What stands in the record and could not be learned from."""
        return tuple(
            one
            for one in (
                Unused("hours after the last progress", early_h),
                Unused("hours without progress", self.no_progress_h),
                Unused("steps without hours", float(self.no_hours)),
            )
            if one.amount > 1e-9
        )
