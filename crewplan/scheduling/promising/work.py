"""Hours that stages take of crews' days, drawn; and into which classes of work they fall."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import log1p, sqrt

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.job_hours import DAY_PERSON_H
from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage, StageKind
from crewplan.model.work_rows import EXPOSURES
from crewplan.placing.crew_choices import SHORT_KINDS
from crewplan.placing.needs.people import people_needed
from crewplan.placing.travel import drive_h
from crewplan.scheduling.promising.streams import stream

Floats = NDArray[np.float64]

HALF_DAY_H = DAY_PERSON_H / 2
"""Stages that take days take whole half-days of a crew of three, as labour counts days. Assumed."""
LEAST_ON_SITE = 0.25
"""However long the drive, so much of a day is counted as spent on site. Assumed."""


@dataclass(frozen=True, slots=True)
class WorkClass:
    """Stages that the same crews may do, and that suffer alike from the weather."""

    kind: StageKind
    certificates: tuple[str, ...]
    equipment: tuple[str, ...]
    people: int
    """People who must be there, one of them a lead."""


def class_of(stage: Stage, hours: StageHours) -> WorkClass:
    """What the stage asks of a crew."""
    return WorkClass(
        stage.kind,
        tuple(sorted(set(stage.certificates))),
        tuple(sorted(set(stage.equipment))),
        people_needed(stage, hours),
    )


def in_order_of_service(classes: Sequence[WorkClass]) -> tuple[WorkClass, ...]:
    """Those that ask for most first, since fewest crews may do them; no crew decides the order."""

    def rank(one: WorkClass) -> tuple[object, ...]:
        asks = len(one.certificates) + len(one.equipment)
        return (-asks, -one.people, one.kind, one.certificates, one.equipment)

    return tuple(sorted(dict.fromkeys(classes), key=rank))


def by_class(
    rows: Iterable[Stage], hours: Mapping[str, StageHours]
) -> dict[WorkClass, list[StageHours]]:
    """Hours of stages by what they ask of a crew."""
    found: dict[WorkClass, list[StageHours]] = {}
    for row in rows:
        found.setdefault(class_of(row, hours[row.stage]), []).append(hours[row.stage])
    return found


def exposure_mix(hours: Sequence[StageHours]) -> Floats:
    """[3] share of the hours by exposure, ground first; all on the ground where there are none."""
    found = np.zeros(len(EXPOSURES))
    for one in hours:
        for step in one.steps:
            found[EXPOSURES.index(step.exposure)] += step.p50_h
    return found / found.sum() if found.sum() > 0 else np.array([1.0, 0.0, 0.0])


def site_drive_h(branch: Branch, job: Job) -> float:
    """Hours one way from the branch's own place: which crew drives is not known yet."""
    at = branch.settings
    return drive_h(at, at.latitude, at.longitude, job.latitude, job.longitude)


def hours_drawn(
    branch: Branch, job: Job, stage: Stage, hours: StageHours, seed: int, draws: int
) -> Floats:
    """[D] person-hours of crews' days that the stage takes, drives included.

    Hours of work are log-normal with the stage's median and spread. A short visit carries its own
    drives; a stage of days has less of each day, and takes whole half-days.
    """
    sigma = sqrt(log1p(hours.spread**2))
    normal = stream(seed, job.job, stage.stage, "hours").standard_normal(draws)
    work = hours.p50_h * np.exp(sigma * normal)
    drive = site_drive_h(branch, job)
    if stage.kind in SHORT_KINDS:
        return np.asarray(work + 2 * drive * people_needed(stage, hours))
    day_h = branch.settings.shift_h - branch.settings.break_h
    on_site = max(1.0 - 2 * drive / day_h, LEAST_ON_SITE)
    return np.ceil(work / on_site / HALF_DAY_H - 1e-9) * HALF_DAY_H


def usual_days(work_h: float) -> int:
    """Calendar days that a stage takes a crew of three once it is there, weekends counted in."""
    working = max(1, -(-int(work_h) // int(DAY_PERSON_H)))
    return working + 2 * ((working - 1) // 5)
