"""A job that is not sold yet, as rows of the tables; what nobody says is as it usually is."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.job_rows import (
    Covering,
    Electrical,
    Job,
    LiftMethod,
    Plane,
    Stage,
    StageKind,
)
from crewplan.model.promise import NewJob

NEW = "(new)"
"""Names the job in place of a number; no table can hold it by accident."""
MOST_IN_A_ROW = 8
"""Modules in a row where nobody says how they lie. Assumed."""
RAFTERS_MM = 610.0
"""24 in, the usual spacing of trusses, where nobody says."""
KINDS: tuple[StageKind, ...] = ("roof", "electrical", "inspection", "commissioning")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is known of the job; the rest has honest defaults."""

    modules: int
    pitch_deg: float
    authority: str
    utility: str = ""
    module: str = ""
    """Empty: the kind that most planes of the branch have."""
    covering: Covering = "shingle"
    storeys: int = 1
    electrical: Electrical = "standard"
    lift_method: LiftMethod = "hoist"
    latitude: float | None = None
    """None: the branch's own place."""
    longitude: float | None = None
    wind_factor: float = 1.0
    in_hand: tuple[str, ...] = ()
    earliest_on: date | None = None


class CannotAsk(ValueError):
    """Something named is in no table; one sentence."""


def even_rows(modules: int) -> tuple[int, ...]:
    """As few rows as hold them, as even as can be, the longer ones at the eave."""
    count = -(-modules // MOST_IN_A_ROW)
    least, more = divmod(modules, count)
    return tuple(least + (row < more) for row in range(count))


def _usual_module(branch: Branch) -> str:
    seen = Counter(plane.module for plane in branch.planes)
    return seen.most_common(1)[0][0] if seen else branch.modules[0].module


def _usual_stage(branch: Branch, kind: StageKind) -> Stage:
    """A stage that asks for what most stages of its kind ask for."""
    seen = Counter(
        (row.certificates, row.equipment, row.min_people, row.gap_days)
        for row in branch.stages
        if row.kind == kind
    )
    if not seen:
        return Stage(f"{NEW}-{kind}", NEW, kind)
    certificates, equipment, people, gap_days = seen.most_common(1)[0][0]
    return Stage(f"{NEW}-{kind}", NEW, kind, (), gap_days, certificates, equipment, people)


def _stages(branch: Branch, electrical: Electrical) -> tuple[Stage, ...]:
    """One of each kind that the branch's jobs have, each after the one before."""
    there = {row.kind for row in branch.stages} or set(KINDS)
    found: list[Stage] = []
    for kind in KINDS:
        if kind not in there or (kind == "electrical" and electrical == "none"):
            continue
        row = _usual_stage(branch, kind)
        found.append(replace(row, after=(found[-1].stage,) if found else ()))
    return tuple(found)


def new_job(branch: Branch, asked: Asked, today: date) -> NewJob:
    """The rows.

    Raises:
        CannotAsk: a module that the branch does not have, or no kind of stage to plan.
    """
    module = asked.module or _usual_module(branch)
    if module not in {row.module for row in branch.modules}:
        raise CannotAsk(f"{module!r} is no module; modules.csv lists them")
    at = branch.settings
    earliest_on = asked.earliest_on or today
    job = Job(
        NEW,
        at.latitude if asked.latitude is None else asked.latitude,
        at.longitude if asked.longitude is None else asked.longitude,
        earliest_on,
        earliest_on,
        authority=asked.authority,
        utility=asked.utility,
        lift_method=asked.lift_method,
        storeys=asked.storeys,
        electrical=asked.electrical,
        wind_factor=asked.wind_factor,
    )
    plane = Plane(
        NEW, "roof", even_rows(asked.modules), module, asked.pitch_deg, asked.covering, RAFTERS_MM
    )
    return NewJob(job, (plane,), _stages(branch, asked.electrical), frozenset(asked.in_hand), today)


def with_new_job(branch: Branch, new: NewJob) -> Branch:
    """The branch's tables with the new job's rows at their ends."""
    return replace(
        branch,
        jobs=(*branch.jobs, new.job),
        planes=(*branch.planes, *new.planes),
        stages=(*branch.stages, *new.stages),
    )
