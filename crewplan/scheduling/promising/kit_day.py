"""From which day the store has the new job's kits, after all that open stages draw."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Stage
from crewplan.model.promise import NewJob
from crewplan.model.takeoff import JobTakeOff
from crewplan.readiness import Kits, supply
from crewplan.readiness.needs import KIT
from crewplan.readiness.shortages import Claim, missing_items
from crewplan.scheduling.promising.answers_drawn import granted_on
from crewplan.scheduling.promising.streams import stream
from crewplan.scheduling.promising.waiting import Waiting

Floats = NDArray[np.float64]

FURTHEST = timedelta(days=365)


def _published(branch: Branch) -> Mapping[str, date]:
    return {row.stage: row.start_on for row in reversed(branch.plan)}


def kit_day(
    branch: Branch,
    new: NewJob,
    takeoffs: Mapping[str, JobTakeOff],
    hours: Mapping[str, StageHours],
    open_stages: Sequence[Stage],
    waiting: Waiting,
    in_hand: bool,
) -> tuple[dict[str, Floats], tuple[str, ...], tuple[str, ...]]:
    """By stage of the new job: [D] ordinals; notes; and `kit` where nobody knows how long it takes.

    What stock and arrivals do not cover once all others have drawn has to be ordered: the record of
    the kind `kit` says how long that takes.
    """
    today = waiting.today
    at_once = {row.stage: np.full(waiting.draws, float(today.toordinal())) for row in new.stages}
    store = supply(branch, today)
    if in_hand or not store.judged:
        return at_once, () if in_hand else store.notes, ()
    kits, published = Kits(branch, takeoffs, hours), _published(branch)
    rows = sorted(open_stages, key=lambda row: published.get(row.stage, date.max))
    line = [Claim(row.stage, kits.of(row.stage), published.get(row.stage)) for row in rows]
    line += [Claim(row.stage, kits.of(row.stage), None) for row in new.stages]
    days = tuple(today + timedelta(days=ahead) for ahead in range(FURTHEST.days + 1))
    missing = missing_items(line, store, days)
    waits = waiting.history.waits(KIT, "")
    found, unknown = dict(at_once), []
    for row in new.stages:
        covered = [item.covered_on(days) for item in missing.get(row.stage, ())]
        there = [day for day in covered if day is not None]
        on = max((day.toordinal() for day in there), default=today.toordinal())
        found[row.stage] = np.full(waiting.draws, float(on))
        if len(there) == len(covered):
            continue
        if waits is None:
            unknown.append(KIT)
            continue
        asked = np.full(waiting.draws, float(new.asked_on.toordinal()))
        chance = stream(waiting.seed, new.job.job, KIT).random(waiting.draws)
        ordered = granted_on(waits, asked, today.toordinal(), chance)
        found[row.stage] = np.maximum(found[row.stage], ordered)
    return found, store.notes, tuple(dict.fromkeys(unknown))
