"""When everything that stages wait for is in hand, drawn from the record of past requests."""

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.asking_order import asking_order
from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job
from crewplan.model.waiting_rows import LeadTime, Requirement
from crewplan.readiness.chances import asked_of
from crewplan.readiness.day_clock import clocks_of
from crewplan.readiness.history import History
from crewplan.readiness.needs import INSPECTION_PASSED, KIT
from crewplan.scheduling.promising.answers_drawn import granted_on
from crewplan.scheduling.promising.streams import stream

Floats = NDArray[np.float64]


def _own_record(branch: Branch) -> Iterable[LeadTime]:
    """Requests of open jobs, of kinds that `lead_times` does not know at all."""
    told = {row.kind for row in branch.lead_times}
    jobs = {job.job: job for job in branch.jobs}
    for row in branch.requirements:
        if row.asked_on is None or row.kind in told or row.state not in ("asked", "granted"):
            continue
        if row.state == "granted" and (row.granted_on is None or row.granted_on < row.asked_on):
            continue
        granted = row.granted_on if row.state == "granted" else None
        yield LeadTime(row.kind, row.asked_on, asked_of(row.kind, jobs[row.job]), granted)


def record_of(branch: Branch, today: date) -> History:
    """The branch's lead times, and where a kind has none there, those of `requirements`."""
    return History(
        (*branch.lead_times, *_own_record(branch)),
        today,
        clocks_of(branch, today),
        branch.settings.lead_time_half_life_days,
    )


@dataclass(slots=True, eq=False)
class Waiting:
    """What one job waits for, D draws; days are ordinals of dates, infinite where never granted."""

    branch: Branch
    job: Job
    kinds: Collection[str]
    """All that any stage of the job waits for."""
    history: History
    today: date
    asked_on: date
    """When what is still to be asked for is asked for, if nothing comes before it."""
    seed: int
    draws: int
    passed: Callable[[], Floats]
    """[D] days on which its inspections have passed; asked for only where something waits for it.
    """
    no_record: dict[str, None] = field(default_factory=dict)
    """Kinds of which nobody knows how long they take, in the order met; they hold nothing here."""
    _found: dict[str, Floats] = field(default_factory=dict)

    def granted(self, kind: str) -> Floats:
        """[D] the day from which a kind is in hand; kits are the store's business."""
        if kind not in self._found:
            self._found[kind] = self._granted(kind)
        return self._found[kind]

    def all_of(self, kinds: Iterable[str]) -> Floats:
        """[D] the day from which all of them are."""
        found = self._nothing()
        for kind in kinds:
            found = np.maximum(found, self.granted(kind))
        return found

    def leaning(self) -> tuple[str, ...]:
        """What an answer must say where a record is not of whoever is asked, but of all."""
        told = []
        for kind in sorted(self._found.keys() - self._rows().keys()):
            whom = asked_of(kind, self.job)
            waits = self.history.waits(kind, whom)
            if waits is not None and waits.own is None:
                who = f"no record with {whom}" if whom else "not said with whom"
                told.append(f"{kind}: {who}, so past requests to all stand in")
        return tuple(told)

    def _nothing(self) -> Floats:
        return np.full(self.draws, float(self.today.toordinal()))

    def _rows(self) -> Mapping[str, Requirement]:
        rows = self.branch.requirements
        return {row.kind: row for row in rows if row.job == self.job.job}

    def _granted(self, kind: str) -> Floats:
        row = self._rows().get(kind)
        if row is not None and row.state in ("granted", "not_needed"):
            since = row.granted_on or self.today
            return np.maximum(self._nothing(), float(since.toordinal()))
        if kind == INSPECTION_PASSED:
            return self.passed()
        if kind == KIT:
            return self._nothing()
        waits = self.history.waits(kind, asked_of(kind, self.job))
        if waits is None:
            self.no_record[kind] = None
            return self._nothing()
        chance = stream(self.seed, self.job.job, kind).random(self.draws)
        return granted_on(waits, self._asked(kind, row), self.today.toordinal(), chance)

    def _asked(self, kind: str, row: Requirement | None) -> Floats:
        if row is not None and row.state == "asked":
            return np.full(self.draws, float((row.asked_on or self.today).toordinal()))
        before = asking_order(self.branch.settings).get(kind, ())
        soonest = np.full(self.draws, float(self.asked_on.toordinal()))
        needed = [one for one in before if one in self.kinds or one == INSPECTION_PASSED]
        latest: Floats = np.maximum(soonest, self.all_of(needed))
        return latest
