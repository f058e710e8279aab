"""Invented branches whose lead times, hours and weather are drawn from laws that the test knows."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from functools import cache
from typing import Any

import numpy as np
from builders import NOW, branch, job, package_limits, plane, settings, stage, weather
from weather_cases import CALM, MONDAY_7

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.people_rows import Crew, Person
from crewplan.model.promise import NewJob, Promise
from crewplan.model.waiting_rows import LeadTime, Requirement
from crewplan.model.weather_table import WeatherTable
from crewplan.running.new_job import Asked, new_job, with_new_job
from crewplan.scheduling.promising import promise
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
AUTHORITY = "Quillmere Building Desk"
_HOUR = timedelta(hours=1)


@cache
def a_year_seen(blown_share: float = 0.2) -> WeatherTable:
    """A year of observed hours; whole days are blown out by chance, in spells."""
    rng = np.random.default_rng(3)
    blown, rows = False, []
    for back in range(370, 0, -1):
        # spells: a day is as the one before in two of three cases
        blown = blown if rng.random() < 2 / 3 else bool(rng.random() < blown_share)
        wind = {"wind_mps": 14.0, "gust_mps": 21.0} if blown else {}
        first = MONDAY_7 - timedelta(days=back) - 7 * _HOUR
        rows += [
            CALM | {"valid_at": first + at * _HOUR, "issued_at": None, "member": ""} | wind
            for at in range(24)
        ]
    return weather(rows)


def forecast_of_a_day() -> WeatherTable:
    """Calm, 21 members, one day: all later days are drawn from the season."""
    return weather(
        [
            CALM | {"valid_at": MONDAY_7 + at * _HOUR, "issued_at": NOW, "member": str(member)}
            for member in range(21)
            for at in range(-12, 12)
        ]
    )


def crew_of_three(name: str) -> tuple[Crew, tuple[Person, ...]]:
    """A lead and two installers at the branch's own place."""
    people = tuple(
        Person(f"{name} {number}", name, "installer" if number else "lead", 40.0, 1.0)
        for number in range(3)
    )
    return Crew(name, 46.8, -92.1), people


def lead_times(rng: np.random.Generator, count: int, mu: float, sigma: float) -> list[LeadTime]:
    """Past permits whose days are log-normal, rounded up; those not over by today still wait."""
    found = []
    for _ in range(count):
        asked = TODAY - timedelta(days=int(rng.integers(1, 400)))
        took = int(np.ceil(rng.lognormal(mu, sigma)))
        granted = asked + timedelta(days=took)
        found.append(LeadTime("permit", asked, AUTHORITY, granted if granted <= TODAY else None))
    return found


def promised_jobs(rng: np.random.Generator, count: int) -> dict[str, Any]:
    """Jobs of one roof stage each: half of them may be built, half have asked for the permit."""
    jobs, planes, stages, needs = [], [], [], []
    for number in range(count):
        name = f"P{number:02d}"
        jobs.append(job(name, authority=AUTHORITY))
        planes.append(plane(job=name, rows=(6,) * int(rng.integers(2, 5))))
        stages.append(stage(f"{name}-roof", job=name, min_people=2))
        needs.append(Requirement(name, "survey", "granted"))
        if rng.random() < 0.5:
            needs.append(Requirement(name, "permit", "granted"))
        else:
            asked_on = TODAY - timedelta(days=int(rng.integers(0, 15)))
            needs.append(Requirement(name, "permit", "asked", asked_on))
    return {"jobs": jobs, "planes": planes, "stages": stages, "requirements": needs}


def a_branch(
    rng: np.random.Generator,
    *,
    crews: int = 2,
    backlog: int = 8,
    record: int = 60,
    law: tuple[float, float] = (2.8, 0.5),
    **tables: Any,
) -> Branch:
    """Crews of three, so many promised jobs, and a record of permits."""
    teams = [crew_of_three(f"Crew {number}") for number in range(crews)]
    values: dict[str, Any] = {
        "settings": settings(weather_members=21),
        "package_limits": package_limits(),
        "weather": forecast_of_a_day(),
        "weather_past": a_year_seen(),
        "crews": tuple(crew for crew, _ in teams),
        "people": tuple(person for _, people in teams for person in people),
        "lead_times": tuple(lead_times(rng, record, *law)),
        **{name: tuple(rows) for name, rows in promised_jobs(rng, backlog).items()},
    }
    return branch(**(values | tables))


def asked_about(held: Branch) -> NewJob:
    """Eighteen modules; the survey and the kit are no matter."""
    asked = Asked(18, 20.0, AUTHORITY, in_hand=("survey", "kit"))
    return new_job(held, asked, TODAY)


def promise_for(
    held: Branch, *, new: NewJob | None = None, seed: int = 0, draws: int = 200, at: datetime = NOW
) -> Promise:
    """The answer of the core."""
    new = new or asked_about(held)
    whole = with_new_job(held, new)
    takeoffs = take_off_all(whole)
    hours = stage_hours_all(whole, takeoffs, TODAY)
    return promise(whole, new, takeoffs, hours, at, seed=seed, draws=draws)


def with_crew(held: Branch, name: str) -> Branch:
    """One crew of three more."""
    crew, people = crew_of_three(name)
    return replace(held, crews=(*held.crews, crew), people=(*held.people, *people))


@dataclass(slots=True)
class Calibration:
    """How often an invented truth was done by the days told; pairs are of 50 % and of 80 %."""

    told: int = 0
    """Repeats in which both days were told."""
    done: tuple[int, int] = (0, 0)
    drawn: tuple[float, float] = (0.0, 0.0)
    """Sums of the shares of draws that were done by the days told: whole days, so a little more."""


def calibration(repeats: int, *, draws: int = 200) -> Calibration:
    """Hold what is told to invented truths.

    Each repeat invents a law, a record of 60 requests from it, promised jobs and crews; the branch
    only sees the record. The truth is one draw, by other seeds, with 2,000 requests of the same law
    as its record.
    """
    found = Calibration()
    for repeat in range(repeats):
        rng = np.random.default_rng([8, repeat])
        law = (float(rng.normal(2.8, 0.3)), float(rng.uniform(0.3, 0.7)))
        held = a_branch(
            rng, crews=int(rng.integers(1, 4)), backlog=int(rng.integers(2, 12)), law=law
        )
        answer = promise_for(held, seed=repeat, draws=draws)
        known = replace(held, lead_times=tuple(lead_times(rng, 2000, *law)))
        truth = promise_for(known, new=asked_about(held), seed=10_000_000 + repeat, draws=1)
        half, likely, came = answer.done.half_on, answer.done.likely_on, truth.done.half_on
        if half is None or likely is None:
            continue
        found.told += 1
        done = [came is not None and came <= day for day in (half, likely)]
        found.done = found.done[0] + done[0], found.done[1] + done[1]
        found.drawn = tuple(a + b for a, b in zip(found.drawn, answer.done_p, strict=True))
    return found
