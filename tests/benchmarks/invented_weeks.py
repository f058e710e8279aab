"""Weeks of invented branches of any size, by a seed, with every rule on; all figures assumed.

A week is a `Branch`: order and gaps, equipment of one's own and shared, inspections a day, kits
from stock and arrivals with an item that may stand in, customers' days, people away, certificates,
permits that are only likely, wind that shuts hours, pins, a published plan with frozen days.
"""

import random
import sys
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from builders import NOW, branch, job, package_limits, plane, settings, stage

from crewplan.labour import stage_hours_all
from crewplan.model.calendar import frozen_days, local_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.material_rows import Arrival, Equipment, Item, Stock
from crewplan.model.people_rows import Absence, Certificate, Crew, Person
from crewplan.model.waiting_rows import Authority, LeadTime, Requirement
from crewplan.model.weather_table import WeatherPlace, WeatherTable
from crewplan.placing import all_choices
from crewplan.publishing.plan_rows import plan_rows
from crewplan.scheduling import rule_of_thumb_plan
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
LATITUDE, LONGITUDE = 46.8, -92.1
MEMBERS, WEATHER_DAYS = 11, 18
AUTHORITIES = ("Hill", "Lake", "Mill", "Pine")
_OUT_DEG = 0.15
"""How far sites lie from the branch: about 17 km north, 11 km east."""


def invented_weather(rng, days=WEATHER_DAYS):
    """Members that share a course of wind by the hour and stray from it; a wet day or two."""
    hours = 24 * days
    first = datetime(2026, 5, 3, tzinfo=ZoneInfo("America/Chicago"))
    common, own = rng.normal(size=hours), rng.normal(size=(MEMBERS, hours))
    for hour in range(1, hours):
        common[hour] = 0.95 * common[hour - 1] + 0.31 * common[hour]
        own[:, hour] = 0.9 * own[:, hour - 1] + 0.44 * own[:, hour]
    spread = np.linspace(0.2, 0.8, hours)
    wind = np.maximum(0.3, 4.5 + 1.6 * (np.sqrt(1 - spread**2) * common + spread * own)).ravel()
    rain = np.where(rng.random((MEMBERS, hours)) < 0.012, 1.5, 0.0).ravel()
    valid = int(first.timestamp()) + 3600 * np.tile(np.arange(hours, dtype=np.int64), MEMBERS)
    rows = MEMBERS * hours
    return WeatherTable(
        (WeatherPlace("", LATITUDE, LONGITUDE),),
        tuple(map(str, range(MEMBERS))),
        np.zeros(rows, dtype=np.int64),
        np.repeat(np.arange(MEMBERS, dtype=np.int64), hours),
        valid,
        np.full(rows, int((NOW - timedelta(hours=2)).timestamp()), dtype=np.int64),
        np.ones(rows),
        wind_mps=wind,
        gust_mps=1.6 * wind,
        rain_mm=rain,
        temperature_c=np.full(rows, 13.0),
        humidity_pct=np.full(rows, 55.0),
        thunder=np.zeros(rows),
    )


def _near(rng):
    return {
        "latitude": LATITUDE + rng.uniform(-_OUT_DEG, _OUT_DEG),
        "longitude": LONGITUDE + rng.uniform(-_OUT_DEG, _OUT_DEG),
    }


def _crews(rng, count):
    """Crews of two to four; two of three have an electrician, one of three a boom of its own."""
    crews, people, certificates, absences = [], [], [], []
    for number in range(count):
        name = f"C{number + 1}"
        base = _near(rng)
        own = ("boom",) if number % 3 == 0 else ()
        crews.append(Crew(name, base["latitude"], base["longitude"], own))
        for seat in range(rng.choice((2, 3, 3, 4))):
            who, role = f"{name} {seat + 1}", "lead" if seat == 0 else "installer"
            people.append(Person(who, name, role, rng.choice((36.0, 42.0, 50.0)), 1.0))
            if seat == 0:
                certificates.append(Certificate(who, "roof_anchor", None))
            if seat == 1 and number % 3 != 2:
                certificates.append(Certificate(who, "electrician", None))
            if rng.random() < 0.06:
                away = TODAY + timedelta(days=rng.randint(1, 10))
                absences.append(Absence(who, away, away + timedelta(days=rng.randint(0, 3))))
    return crews, people, certificates, absences


def _job(rng, number):
    earliest = TODAY + timedelta(days=max(1, rng.randint(-6, 6)))
    allowed = ()
    if rng.random() < 0.15:
        first = TODAY + timedelta(days=rng.randint(1, 7))
        allowed = ((first, first + timedelta(days=rng.randint(3, 9))),)
    return job(
        f"J{number}",
        **_near(rng),
        authority=rng.choice(AUTHORITIES),
        utility="Grid",
        earliest_on=earliest,
        due_on=earliest + timedelta(days=rng.randint(3, 20)),
        priority=rng.choice((1, 2, 2, 3)),
        storeys=rng.choice((1, 1, 2)),
        customer_days=allowed,
    )


def _stages(rng, name):
    """Roof, electrical work and inspection; booms and anchors where the roof asks for them."""
    roof = stage(
        f"{name}-r",
        job=name,
        min_people=2,
        certificates=("roof_anchor",) if rng.random() < 0.4 else (),
        equipment=("boom",) if rng.random() < 0.25 else (),
    )
    electrical = stage(
        f"{name}-e",
        job=name,
        kind="electrical",
        after=(roof.stage,),
        gap_days=rng.choice((0, 0, 1)),
        certificates=("electrician",),
    )
    inspection = stage(
        f"{name}-i", job=name, kind="inspection", after=(electrical.stage,), gap_days=1
    )
    return roof, electrical, inspection


def _waiting(rng, name):
    """Mostly granted; a tenth of permits asked for a while ago, some not asked for at all."""
    for kind in ("permit", "survey", "utility_approval"):
        dice = rng.random()
        asked = TODAY - timedelta(days=rng.randint(20, 40))
        if kind == "survey" or dice < 0.88:
            yield Requirement(name, kind, "granted", asked, asked + timedelta(days=15))
        elif dice < 0.98:
            yield Requirement(name, kind, "asked", asked)
        else:
            yield Requirement(name, kind, "open")


def _record(rng):
    """A hundred past requests of each kind, answered within 15 to 45 days."""
    for number in range(100):
        asked = TODAY - timedelta(days=100 + 3 * number)
        answered = asked + timedelta(days=rng.randint(15, 45))
        for kind, office in (("permit", AUTHORITIES[number % 4]), ("utility_approval", "Grid")):
            yield LeadTime(kind, asked, office, answered)


def bare_week(crews, stages, seed=0, weather_days=WEATHER_DAYS):
    """The week before anything of it was published."""
    rng, dice = random.Random(seed), np.random.default_rng(seed)
    crew_rows, people, certificates, absences = _crews(rng, crews)
    jobs, planes, stage_rows, requirements = [], [], [], []
    while len(stage_rows) < stages:
        jobs.append(_job(rng, len(jobs) + 1))
        name = jobs[-1].job
        rows = tuple(rng.randint(6, 12) for _ in range(rng.choice((3, 3, 4))))
        planes.append(plane(job=name, rows=rows))
        stage_rows += _stages(rng, name)[: stages - len(stage_rows)]
        requirements += _waiting(rng, name)
    roofs = len(jobs)
    return branch(
        settings=settings(weather_members=MEMBERS),
        crews=tuple(crew_rows),
        people=tuple(people),
        certificates=tuple(certificates),
        absences=tuple(absences),
        jobs=tuple(jobs),
        planes=tuple(planes),
        stages=tuple(stage_rows),
        requirements=tuple(requirements),
        lead_times=tuple(_record(rng)),
        authorities=tuple(
            Authority(name, inspections_per_day=max(1, roofs // 36), notice_days=1)
            for name in AUTHORITIES
        ),
        equipment=(Equipment("boom", max(1, crews // 10), 90.0),),
        items=(
            Item("flashing", "flashing", substitutes=("flashing, tall",), unit_cost=9.0),
            Item("flashing, tall", unit_cost=12.0),
        ),
        stock=(Stock("flashing", 40.0 * roofs), Stock("flashing, tall", 10.0 * roofs)),
        arrivals=(
            Arrival("flashing", 30.0 * roofs, TODAY + timedelta(days=5)),
            Arrival("flashing", 60.0 * roofs, TODAY + timedelta(days=10)),
        ),
        weather=invented_weather(dice, weather_days),
        package_limits=package_limits(),
    )


def choose(tables, days=10):
    """All that there is to choose from in the next working days, frozen ones held to what they
    are as soon as a plan is published."""
    today = local_day(tables.settings, NOW)
    horizon = Horizon(
        working_days(tables.settings, today + timedelta(days=1), days),
        frozen_days(tables.settings, NOW),
    )
    takeoffs = take_off_all(tables)
    hours = stage_hours_all(tables, takeoffs, today)
    return all_choices(tables, horizon, takeoffs, hours, NOW)


def week(crews, stages, seed=0):
    """A week of which the first five days were published before two people fell ill."""
    healthy = bare_week(crews, stages, seed)
    rows = [
        row
        for row in plan_rows(rule_of_thumb_plan(choose(healthy)))
        if row.start_on < TODAY + timedelta(days=8)
    ]
    rng = random.Random(seed + 1)
    pinned = {row.stage for row in rng.sample(rows, max(1, len(rows) // 20))}
    ill = rng.sample([row.person for row in healthy.people], 2)
    return replace(
        healthy,
        present=healthy.present | {"plan", "absences"},
        plan=tuple(replace(row, pinned=row.stage in pinned) for row in rows),
        absences=(*healthy.absences, *(Absence(p, TODAY, TODAY + timedelta(days=4)) for p in ill)),
    )
