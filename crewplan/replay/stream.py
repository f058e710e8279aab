"""A seeded stream of jobs: sold one by one, with everything in hand after a while."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import cos, pi, radians, sin, sqrt

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, Plane, Stage
from crewplan.model.waiting_rows import Requirement
from crewplan.readiness import needs

_IN_HAND = ("permit", "survey", "utility_approval", "kit")
_KM_PER_DEGREE = 111.2
"""Of latitude; 2 pi 6371 km / 360."""


@dataclass(frozen=True, slots=True)
class Stream:
    """What is sold in a year. All figures assumed."""

    jobs_a_week: float = 5.4
    reach_km: float = 40.0
    """Sites lie anywhere in this circle around the branch, as dense everywhere."""
    promise_days: tuple[int, int] = (10, 28)
    """Calendar days from the day on which all is in hand to the promise, both ends included."""
    modules: tuple[int, int] = (12, 30)
    price_per_module: float = 1_100.0


@dataclass(frozen=True, slots=True)
class Sold:
    """A job with its rows, and the day on which the office learns that it is ready."""

    known_on: date
    job: Job
    planes: tuple[Plane, ...]
    stages: tuple[Stage, ...]
    requirements: tuple[Requirement, ...]


def jobs_of(base: Branch, stream: Stream, first: date, last: date, seed: int) -> tuple[Sold, ...]:
    """Jobs that become ready from the first to the last day, in that order.

    Args:
        base: its settings, modules and racking; the first module and racking are used.
        seed: of everything drawn.
    """
    rng = np.random.default_rng([seed, 71])
    found: list[Sold] = []
    day = float(first.toordinal())
    while True:
        day += float(rng.exponential(7 / stream.jobs_a_week))
        known_on = date.fromordinal(int(day))
        if known_on > last:
            return tuple(found)
        found.append(_sold(base, stream, known_on, len(found) + 1, rng))


def _sold(
    base: Branch, stream: Stream, known_on: date, number: int, rng: np.random.Generator
) -> Sold:
    name = f"R{number:04d}"
    low, high = stream.modules
    modules = int(rng.integers(low, high + 1))
    row = int(rng.integers(6, 10))
    rows = tuple([row] * (modules // row) + ([modules % row] if modules % row else []))
    least, most = stream.promise_days
    latitude, longitude = _site(base, stream, rng)
    job = Job(
        job=name,
        latitude=latitude,
        longitude=longitude,
        earliest_on=known_on,
        due_on=known_on + timedelta(days=int(rng.integers(least, most + 1))),
        price=modules * stream.price_per_module,
        storeys=int(rng.choice((1, 1, 2))),
    )
    plane = Plane(
        job=name,
        plane="south",
        rows=rows,
        module=base.modules[0].module,
        pitch_deg=float(rng.choice((14.0, 18.4, 26.6, 33.7))),  # 3, 4, 6 and 8 in 12
        covering=str(rng.choice(("shingle", "shingle", "shingle", "metal"))),  # type: ignore[arg-type]
        rafter_spacing_mm=610.0,
    )
    stages = (
        Stage(f"{name}-roof", name, "roof", min_people=2),
        Stage(f"{name}-electrical", name, "electrical", after=(f"{name}-roof",)),
    )
    granted = tuple(Requirement(name, kind, "granted", granted_on=known_on) for kind in _IN_HAND)
    return Sold(known_on, job, (plane,), stages, granted)


def _site(base: Branch, stream: Stream, rng: np.random.Generator) -> tuple[float, float]:
    away_km = stream.reach_km * sqrt(float(rng.random()))
    angle = 2 * pi * float(rng.random())
    here = base.settings
    north = away_km * cos(angle) / _KM_PER_DEGREE
    east = away_km * sin(angle) / (_KM_PER_DEGREE * cos(radians(here.latitude)))
    return here.latitude + north, here.longitude + east


def own_jobs(branch: Branch, first: date, last: date) -> tuple[Sold, ...]:
    """The branch's jobs that could begin from the first to the last day, everything in hand then.

    What they waited for in truth is left aside: a replay asks what the weather and the plan cost.
    """
    found = []
    for job in branch.jobs:
        if not first <= job.earliest_on <= last:
            continue
        stages = tuple(stage for stage in branch.stages if stage.job == job.job)
        kinds = dict.fromkeys(kind for stage in stages for kind in needs(branch, stage.stage))
        known_on = job.earliest_on - timedelta(days=1)
        planes = tuple(plane for plane in branch.planes if plane.job == job.job)
        granted = tuple(
            Requirement(job.job, kind, "granted", granted_on=known_on) for kind in kinds
        )
        if stages:
            found.append(Sold(known_on, job, planes, stages, granted))
    return tuple(sorted(found, key=lambda one: one.known_on))


_OF_THE_PRESENT = ("stock", "arrivals", "inspections", "plan", "progress", "hours_worked")
"""Tables that say how things stand now, of which the past knew nothing."""


def emptied(base: Branch) -> Branch:
    """The branch as a replay begins: its people, crews, limits and rates, and no work yet."""
    return replace(
        base,
        settings=replace(base.settings, weather_members=None, demo=None),
        present=base.present - set(_OF_THE_PRESENT),
        absences=(),
        forecast_errors=(),
        stock=(),
        arrivals=(),
        inspections=(),
        plan=(),
        progress=(),
        hours_worked=(),
    )


def branch_with(base: Branch, sold: Sequence[Sold]) -> Branch:
    """The base with these jobs in place of its own."""
    return replace(
        base,
        jobs=tuple(one.job for one in sold),
        planes=tuple(plane for one in sold for plane in one.planes),
        stages=tuple(stage for one in sold for stage in one.stages),
        requirements=tuple(row for one in sold for row in one.requirements),
    )
