"""The new job's stages, one after the other, through what all others leave of the days."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Stage
from crewplan.model.promise import NewJob
from crewplan.readiness.first_visit import FirstVisit
from crewplan.readiness.needs import needs_of_all
from crewplan.scheduling.promising.queue import done_on
from crewplan.scheduling.promising.season import ROOF
from crewplan.scheduling.promising.streams import stream
from crewplan.scheduling.promising.waiting import Waiting
from crewplan.scheduling.promising.work import WorkClass, class_of, exposure_mix, hours_drawn

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Room:
    """What is left of T working days, D draws."""

    days: tuple[date, ...]
    free: Mapping[WorkClass, Floats]
    """[D, T] hours that one crew which may do the class has left."""
    open_share: Floats
    """[3, D, T] of the working time, by exposure."""


@dataclass(slots=True, eq=False)
class NewWork:
    """Days are ordinals of dates, infinite where something is not done within the days."""

    branch: Branch
    new: NewJob
    hours: Mapping[str, StageHours]
    room: Room
    waiting: Waiting
    kits: Mapping[str, Floats]
    """By stage: [D] the day from which its kit is there."""

    def may_start(self, stage: Stage, before: Floats | None) -> Floats:
        """[D] the day: all is in hand, and the stage before it ended on `before`."""
        needs = needs_of_all(self.branch, (stage,))[stage.stage]
        waited = [kind for kind in needs if kind not in self.new.in_hand]
        found = np.maximum(self.waiting.all_of(waited), self.kits[stage.stage])
        found = np.maximum(found, float(self.new.job.earliest_on.toordinal()))
        return found if before is None else np.maximum(found, before + 1 + stage.gap_days)

    def done(self, stage: Stage, may_start: Floats) -> Floats:
        """[D] its last day.

        All of its work fits into the hours that are free and open, what is on the roof into those
        in which the roof is, what is lifted into those in which lifting is: so that work on the
        ground fills hours that are shut for the rest. The order of steps is left aside.
        """
        hours = self.hours[stage.stage]
        waiting = self.waiting
        work = hours_drawn(self.branch, self.new.job, stage, hours, waiting.seed, waiting.draws)
        first = self._index(may_start)
        if stage.kind == "inspection":
            first = first + self._notice_days()
        free, mix = self.room.free[class_of(stage, hours)], exposure_mix([hours])
        ends = [
            done_on(free * self.room.open_share[exposure], part * work, first)
            for exposure, part in enumerate(np.cumsum(mix[::-1])[::-1])
            if part > 0
        ]
        return self._day(np.maximum.reduce(ends))

    def passed(self, stage: Stage, inspected: Floats, visit: FirstVisit) -> Floats:
        """[D] the day on which it passes: what fails is put right, and inspected once more."""
        draws = len(inspected)
        fails = stream(self.waiting.seed, self.new.job.job, stage.stage, "fails").random(draws)
        hours = self.hours[stage.stage]
        free = self.room.free[class_of(stage, hours)] * self.room.open_share[ROOF]
        put_right = done_on(free, np.full(draws, visit.return_h), self._index(inspected + 1))
        again = self.done(stage, self._day(put_right) + 1)
        return np.where(fails < visit.p_fail, again, inspected)

    def _notice_days(self) -> int:
        authority = self.new.job.authority
        rows = (r.notice_days for r in self.branch.authorities if r.authority == authority)
        return next(rows, 0)

    def _ordinals(self) -> Floats:
        return np.array([day.toordinal() for day in self.room.days], dtype=np.float64)

    def _index(self, day: Floats) -> Floats:
        """Index of the first of the days that is not before it."""
        at = np.searchsorted(self._ordinals(), day, side="left").astype(np.float64)
        return np.where(at < len(self.room.days), at, np.inf)

    def _day(self, index: Floats) -> Floats:
        there = np.isfinite(index)
        found = np.full(len(index), np.inf)
        found[there] = self._ordinals()[index[there].astype(np.int64)]
        return found
