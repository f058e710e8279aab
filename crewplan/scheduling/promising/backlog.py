"""All that is promised already: which hours become ready on which day, drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.readiness.history import History
from crewplan.readiness.needs import needs_of_all
from crewplan.scheduling.promising.waiting import Waiting
from crewplan.scheduling.promising.work import WorkClass, class_of, hours_drawn, usual_days

Floats = NDArray[np.float64]


@dataclass(slots=True, eq=False)
class Backlog:
    """Open stages of a branch; days are ordinals of dates.

    A stage is ready once its requirements are in hand and the stages before it would have ended at
    a crew's usual speed; not when the queue lets them end, so that nobody's crew decides it.
    """

    branch: Branch
    hours: Mapping[str, StageHours]
    history: History
    today: date
    seed: int
    draws: int
    rows: tuple[Stage, ...]
    """The stages that are not done, in the table's order."""
    unknown: dict[str, None] = field(default_factory=dict)
    """Kinds without a record: their stages count as ready as soon as all else is."""
    _ready: dict[str, Floats] = field(default_factory=dict)
    _waiting: dict[str, Waiting] = field(default_factory=dict)
    _kinds: Mapping[str, tuple[str, ...]] = field(init=False)
    _jobs: Mapping[str, Job] = field(init=False)

    def __post_init__(self) -> None:
        """Look up jobs, and what each stage waits for."""
        self._kinds = needs_of_all(self.branch, self.rows)
        self._jobs = {job.job: job for job in self.branch.jobs}

    def ready(self, stage: Stage) -> Floats:
        """[D] the day from which the stage could be worked on; infinite: never granted."""
        if stage.stage not in self._ready:
            self._ready[stage.stage] = self._first_day()  # holds where the tables go round
            self._ready[stage.stage] = self._ready_of(stage)
        return self._ready[stage.stage]

    def ended(self, stage: Stage) -> Floats:
        """[D] the day on which it would have ended at a crew's usual speed."""
        return self.ready(stage) + usual_days(self.hours[stage.stage].p50_h) - 1

    def notes(self) -> tuple[str, ...]:
        """What an answer must say of stages that wait for what has no record."""
        if not self.unknown:
            return ()
        return (
            f"no record of {', '.join(self.unknown)}: promised stages that wait for it are taken "
            "as ready, so that they come first in any case",
        )

    def _first_day(self) -> Floats:
        return np.full(self.draws, float(self.today.toordinal()))

    def _ready_of(self, stage: Stage) -> Floats:
        published = [row.start_on for row in self.branch.plan if row.stage == stage.stage]
        if published:
            return np.maximum(self._first_day(), float(min(published).toordinal()))
        earliest_on = self._jobs[stage.job].earliest_on
        found = np.maximum(self._first_day(), float(earliest_on.toordinal()))
        for row in self.rows:
            if row.stage in stage.after:
                found = np.maximum(found, self.ended(row) + 1 + stage.gap_days)
        waiting = self._waiting_of(stage)
        found = np.maximum(found, waiting.all_of(self._kinds[stage.stage]))
        self.unknown.update(waiting.no_record)
        return found

    def _waiting_of(self, stage: Stage) -> Waiting:
        if stage.job not in self._waiting:
            own = [row for row in self.rows if row.job == stage.job]
            inspections = [row for row in own if row.kind == "inspection"]

            def passed() -> Floats:
                found = self._first_day()
                for row in inspections:
                    found = np.maximum(found, self.ended(row))
                return found

            self._waiting[stage.job] = Waiting(
                self.branch,
                self._jobs[stage.job],
                frozenset(kind for row in own for kind in self._kinds[row.stage]),
                self.history,
                self.today,
                self.today,
                self.seed,
                self.draws,
                passed,
            )
        return self._waiting[stage.job]


def arrivals(
    backlog: Backlog, classes: Sequence[WorkClass], days: tuple[date, ...]
) -> tuple[Floats, Floats]:
    """Hours by the working day on which they become ready.

    Returns:
        [D, T, K] hours, by class of work; and [D, K] those that do so after the last of the days,
        or never.
    """
    place = {one: row for row, one in enumerate(classes)}
    ordinals = np.array([day.toordinal() for day in days], dtype=np.float64)
    found = np.zeros((backlog.draws, len(days) + 1, len(classes)))
    draw = np.arange(backlog.draws)
    jobs = {job.job: job for job in backlog.branch.jobs}
    for row in backlog.rows:
        hours = backlog.hours[row.stage]
        work = hours_drawn(backlog.branch, jobs[row.job], row, hours, backlog.seed, backlog.draws)
        at = np.searchsorted(ordinals, backlog.ready(row), side="left")
        found[draw, at, place[class_of(row, hours)]] += work
    return found[:, :-1], found[:, -1]
