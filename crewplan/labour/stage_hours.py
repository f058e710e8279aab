"""Person-hours of every stage: planned, done and left."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from crewplan.labour.factors import Rule, read_factors
from crewplan.labour.job_hours import Effort, days_on_site, step_effort
from crewplan.labour.order import binding_after, in_order
from crewplan.labour.shares import stage_shares
from crewplan.labour.spread import combine
from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.job_rows import Job, Plane, Stage, StageKind
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.work_rows import EXPOSURES, Progress, Rate, Step


@dataclass(frozen=True, slots=True)
class _Book:
    """The tables of work, ready to be looked up."""

    steps: Mapping[StageKind, tuple[Step, ...]]
    rates: Mapping[str, tuple[Rate, ...]]
    rules: Mapping[str, tuple[Rule, ...]]


def stage_hours_all(
    branch: Branch, takeoffs: Mapping[str, JobTakeOff], today: date
) -> dict[str, StageHours]:
    """Hours of every stage, by its number; progress up to and with `today` counts.

    A stage is done when all of its steps that have hours are at 1. A stage that has no hours at
    all is done only where progress says so for one of its steps.
    """
    book = _read_book(branch)
    jobs = {job.job: job for job in branch.jobs}
    planes: dict[str, list[Plane]] = {}
    for plane in branch.planes:
        planes.setdefault(plane.job, []).append(plane)
    shares = stage_shares(branch.stages)
    progress = latest_progress(branch.progress, today)
    efforts: dict[tuple[str, StageKind], dict[str, Effort]] = {}
    hours: dict[str, StageHours] = {}
    for stage in branch.stages:
        key = (stage.job, stage.kind)
        if key not in efforts:
            efforts[key] = _efforts(
                book, stage.kind, jobs[stage.job], planes.get(stage.job, []), takeoffs[stage.job]
            )
        hours[stage.stage] = _stage_hours(
            stage,
            book.steps.get(stage.kind, ()),
            efforts[key],
            shares[stage.stage],
            progress.get(stage.stage, {}),
        )
    return hours


def latest_progress(rows: Sequence[Progress], today: date) -> dict[str, dict[str, float]]:
    """By stage and step: the share done that was seen last, up to and with `today`."""
    seen: dict[str, dict[str, float]] = {}
    for row in sorted(rows, key=lambda row: row.day):
        if row.day <= today:
            seen.setdefault(row.stage, {})[row.step] = row.share_done
    return seen


def _read_book(branch: Branch) -> _Book:
    steps: dict[StageKind, list[Step]] = {}
    for step in branch.steps:
        steps.setdefault(step.kind, []).append(step)
    rates: dict[str, list[Rate]] = {}
    for rate in branch.rates:
        rates.setdefault(rate.step, []).append(rate)
    return _Book(
        {kind: in_order(rows) for kind, rows in steps.items()},
        {name: tuple(rows) for name, rows in rates.items()},
        read_factors(branch.factors),
    )


def _efforts(
    book: _Book, kind: StageKind, job: Job, planes: Sequence[Plane], takeoff: JobTakeOff
) -> dict[str, Effort]:
    """Effort of each step of one kind; the driver `days` from the hours of all others."""

    def effort(step: Step, rates: Sequence[Rate], days: float) -> Effort:
        return step_effort(rates, book.rules.get(step.step, ()), job, planes, takeoff, days)

    steps = book.steps.get(kind, ())
    rates = {step.step: book.rates.get(step.step, ()) for step in steps}
    without_days = (
        effort(step, [rate for rate in rates[step.step] if rate.driver != "days"], 0.0)
        for step in steps
    )
    days = days_on_site(sum(one.stage_h(1.0) for one in without_days))
    return {step.step: effort(step, rates[step.step], days) for step in steps}


def _stage_hours(
    stage: Stage,
    steps: Sequence[Step],
    efforts: Mapping[str, Effort],
    share: float,
    progress: Mapping[str, float],
) -> StageHours:
    planned = {step.step: efforts[step.step].stage_h(share) for step in steps}
    left = {name: hours * (1 - progress.get(name, 0.0)) for name, hours in planned.items()}
    open_steps = [step for step in steps if left[step.step] > 0]
    after = binding_after(steps, {step.step for step in open_steps})
    has_hours = any(hours > 0 for hours in planned.values())
    reported_done = any(progress.get(step.step, 0.0) >= 1 for step in steps)
    total = combine((left[step.step], efforts[step.step].spread) for step in open_steps)
    to_repeat = [step for step in steps if step.again and planned[step.step] > 0]
    again = combine((planned[step.step], efforts[step.step].spread) for step in to_repeat)
    undone = combine(
        (planned[step.step] - left[step.step], efforts[step.step].spread)
        for step in to_repeat
        if left[step.step] < planned[step.step]
    )
    return StageHours(
        stage=stage.stage,
        steps=tuple(
            StepHours(
                step=step.step,
                exposure=step.exposure,
                after=after[step.step],
                p50_h=left[step.step],
                spread=efforts[step.step].spread,
                min_people=step.min_people,
                source=efforts[step.step].source,
            )
            for step in open_steps
        ),
        planned_h=sum(planned.values()),
        p50_h=total.p50_h,
        p80_h=total.p80_h,
        p90_h=total.p90_h,
        spread=total.spread,
        done=not open_steps and (has_hours or reported_done),
        begun=any(progress.get(step.step, 0.0) > 0 for step in steps),
        again_p80_h=again.p80_h,
        undone_p80_h=undone.p80_h,
        again_exposure=max(
            (step.exposure for step in to_repeat), key=EXPOSURES.index, default="ground"
        ),
    )
