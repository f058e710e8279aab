"""Hours added up for the owner: planned, worked and lost; by job, crew and cause."""

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from crewplan.model.hours_so_far import hours_of
from crewplan.running.board_view import BoardView


@dataclass(frozen=True, slots=True)
class JobHours:
    """Person-hours of a job."""

    job: str
    customer: str
    whole: float
    """All of its stages, done or not."""
    worked: float
    """Productive so far."""
    lost: float
    """Lost so far, for any cause."""
    left: float
    """Still to be done; as likely less as more."""
    left_high: float
    """Nine of ten such stages take less, added up."""
    placed: float
    """Of what is left, placed within the plan."""
    expected_lost: float
    """Expected to be lost to weather within the plan."""


@dataclass(frozen=True, slots=True)
class CrewHours:
    """Person-hours of a crew."""

    crew: str
    placed: float
    expected_lost: float
    worked: float
    lost: float


def _worked(
    sums: Mapping[tuple[str, str], int], key: Callable[[str], str]
) -> tuple[Mapping[str, float], Mapping[str, float]]:
    """Productive and lost hours so far, by a key of the stage or person."""
    good: dict[str, int] = defaultdict(int)
    lost: dict[str, int] = defaultdict(int)
    for (name, cause), micro_h in sums.items():
        (lost if cause else good)[key(name)] += micro_h
    return _hours(good), _hours(lost)


def _hours(sums: Mapping[str, int]) -> Mapping[str, float]:
    return {name: hours_of(micro_h) for name, micro_h in sums.items()}


def job_hours(view: BoardView) -> tuple[JobHours, ...]:
    """One row a job, in the folder's order."""
    job_of = {stage.stage: stage.job for stage in view.branch.stages}
    good, lost = _worked(view.worked().of_stages, lambda stage: job_of.get(stage, ""))
    whole: dict[str, float] = defaultdict(float)
    left: dict[str, float] = defaultdict(float)
    high: dict[str, float] = defaultdict(float)
    for stage in view.branch.stages:
        hours = view.hours.get(stage.stage)
        if hours is not None:
            whole[stage.job] += hours.planned_h
            left[stage.job] += hours.p50_h
            high[stage.job] += hours.p90_h
    placed: dict[str, float] = defaultdict(float)
    waiting: dict[str, float] = defaultdict(float)
    for planned in view.plan.planned:
        placed[planned.job] += planned.placement.labour_p50_h
        waiting[planned.job] += planned.placement.lost_h
    return tuple(
        JobHours(
            job.job, job.customer, whole[job.job], good.get(job.job, 0.0), lost.get(job.job, 0.0),
            left[job.job], high[job.job], placed[job.job], waiting[job.job],
        )
        for job in view.branch.jobs
    )  # fmt: skip


def crew_hours(view: BoardView) -> tuple[CrewHours, ...]:
    """One row a crew, in the folder's order; people who left the tables count for nobody."""
    crew_of = {person.person: person.crew for person in view.branch.people}
    good, lost = _worked(view.worked().of_people, lambda person: crew_of.get(person, ""))
    placed: dict[str, float] = defaultdict(float)
    waiting: dict[str, float] = defaultdict(float)
    for planned in view.plan.planned:
        placed[planned.placement.crew] += planned.placement.labour_p50_h
        waiting[planned.placement.crew] += planned.placement.lost_h
    return tuple(
        CrewHours(
            crew.crew, placed[crew.crew], waiting[crew.crew],
            good.get(crew.crew, 0.0), lost.get(crew.crew, 0.0),
        )
        for crew in view.branch.crews
    )  # fmt: skip


def lost_by_cause(view: BoardView) -> tuple[tuple[str, float], ...]:
    """Hours lost so far by cause, most first."""
    lost: dict[str, int] = defaultdict(int)
    for (_, cause), micro_h in view.worked().of_people.items():
        if cause:
            lost[cause] += micro_h
    return tuple(sorted(_hours(lost).items(), key=lambda pair: (-pair[1], pair[0])))
