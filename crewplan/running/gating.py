"""The evening's question to the weather gate: which day, which site, and how long a lift."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import (
    half_day_bounds,
    is_working_day,
    local_day,
    next_working_day,
    shift_bounds,
)
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.model.reading import Reading
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import Exposure
from crewplan.placing.crew_days import there_on
from crewplan.running.clock import Clock
from crewplan.running.measured_where import on_their_roofs
from crewplan.running.published import published_on
from crewplan.takeoff import take_off_all
from crewplan.weather.gate import day_verdicts
from crewplan.weather.limits import effective_limits
from crewplan.weather.readings import held_to_readings
from crewplan.weather.site import MAKE_SAFE_H, Site


class UnknownName(Exception):
    """A job or crew that the folder does not have; the text is one sentence."""


def default_day(branch: Branch, clock: Clock) -> date:
    """Today until its shift ends, else the next working day."""
    today = local_day(branch.settings, clock.now)
    if is_working_day(branch.settings, today):
        _, end = shift_bounds(branch.settings, today)
        if clock.now < end:
            return today
    return next_working_day(branch.settings, today)


def _lent_on(branch: Branch, day: date) -> frozenset[str]:
    """Who helps another crew on the day by the published plan."""
    if not any(row.lent for row in branch.plan):
        return frozenset()
    return frozenset(
        name
        for crew in branch.crews
        for row in published_on(branch, crew.crew, day)
        for name in row.lent
    )


def _pace(branch: Branch, crew: str, day: date, gone: Collection[str]) -> float:
    people = tuple(
        person for person in branch.people if person.crew == crew and person.person not in gone
    )
    return sum(person.pace for person in there_on(people, branch.absences, day))


def lift_h(
    branch: Branch, hours: StageHours, crew: str, day: date, gone: Collection[str] = ()
) -> float:
    """Hours in a row that a stage's lift wants: what is left of it at the pace of those of the
    crew who are there, at most a half-day's working time (a longer lift takes several windows;
    assumed).

    Without a crew the slowest of the branch counts; with nobody there, one person. Whoever is lent
    away that day (published, or `gone` by a plan that is not) lifts nothing here; people who come
    to help are left aside, so that a window is rather too long than too short.
    """
    gone = _lent_on(branch, day) | set(gone)
    crews = [crew] if crew else [row.crew for row in branch.crews]
    paces = [_pace(branch, name, day, gone) for name in crews]
    person_h = sum(
        step.p50_h * (1 + step.spread) for step in hours.steps if step.exposure == "lift"
    )
    slowest = min((pace for pace in paces if pace > 0), default=1.0)
    (am, _) = half_day_bounds(branch.settings, day)
    half_day_h = (am[1] - am[0]).total_seconds() / 3600
    return min(person_h / slowest, max(half_day_h - MAKE_SAFE_H, 0.0))


def site_of(
    branch: Branch,
    hours: Mapping[str, StageHours],
    job: Job,
    stage: str,
    crew: str,
    day: date,
    gone: Collection[str] = (),
) -> Site:
    """The job's site; the lift's length where the stage has one, without those who are `gone`."""
    needs: dict[Exposure, float] = {}
    if stage and (length_h := lift_h(branch, hours[stage], crew, day, gone)) > 0:
        needs["lift"] = length_h
    return Site(
        job.latitude,
        job.longitude,
        job.job,
        stage,
        needs,
        job.wind_factor,
        job.wind_factor_source,
    )


def _next_roof_stage(
    branch: Branch, hours: Mapping[str, StageHours], job: Job, day: date
) -> tuple[str, str]:
    """The job's stage on that day by the published plan with its crew, else its first roof stage
    that is not done, else nothing."""
    mine: list[Stage] = [stage for stage in branch.stages if stage.job == job.job]
    names = {stage.stage for stage in mine}
    for crew in branch.crews:
        for row in published_on(branch, crew.crew, day):
            if row.stage in names and not hours[row.stage].done:
                return row.stage, row.crew
    for stage in mine:
        if stage.kind == "roof" and not hours[stage.stage].done:
            return stage.stage, ""
    return "", ""


def _sites_of_crew(
    branch: Branch, hours: Mapping[str, StageHours], crew: str, day: date
) -> list[Site]:
    """Where the published plan has the crew that day; else its base."""
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}
    sites = [
        site_of(branch, hours, job_of[row.stage], row.stage, crew, day)
        for row in published_on(branch, crew, day)
        if not hours[row.stage].done
    ]
    if sites:
        return sites
    base = next(row for row in branch.crews if row.crew == crew)
    return [Site(base.base_latitude, base.base_longitude)]


def ask_gate(
    branch: Branch,
    clock: Clock,
    day: date | None = None,
    *,
    job: str | None = None,
    crew: str | None = None,
    exposures: Sequence[Exposure] = ("ground", "roof", "lift"),
    readings: Sequence[Reading] = (),
) -> list[DayVerdict]:
    """Verdicts of one day: at a job's site, where the published plan has a crew, or at the branch.

    Wind measured by hand (`readings`) over a limit shuts the job or crew that it was measured for,
    and the jobs that the published plan has the crew at that day.

    Raises:
        UnknownName: a job or crew that the folder does not have.
    """
    jobs = {row.job: row for row in branch.jobs}
    if job is not None and job not in jobs:
        raise UnknownName(f"{job!r} is no job of this folder")
    if crew is not None and crew not in {row.crew for row in branch.crews}:
        raise UnknownName(f"{crew!r} is no crew of this folder")
    asked = day or default_day(branch, clock)
    sites: list[Site | None] = [None]
    if job is not None or crew is not None:
        today = local_day(branch.settings, clock.now)
        hours = stage_hours_all(branch, take_off_all(branch), today)
        if job is not None:
            stage, its_crew = _next_roof_stage(branch, hours, jobs[job], asked)
            sites = [site_of(branch, hours, jobs[job], stage, its_crew, asked)]
        elif crew is not None:
            sites = [*_sites_of_crew(branch, hours, crew, asked)]
    told = [
        verdict
        for site in sites
        for verdict in day_verdicts(
            branch, asked, clock.now, site=site, exposures=tuple(exposures), clock=clock.kind
        )
    ]
    limits = effective_limits(branch.package_limits, branch.limits)
    measured = on_their_roofs(branch, readings)
    return held_to_readings(told, measured, limits, clock.now, branch.settings, crew or "")
