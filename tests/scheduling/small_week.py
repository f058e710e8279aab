"""A small invented week through the whole middle of the program: tables, choices, plan."""

from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

from builders import NOW, branch, job, plane, settings, stage, weather

from crewplan.labour import stage_hours_all
from crewplan.model.calendar import frozen_days, local_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.limit_row import Limit
from crewplan.model.material_rows import Arrival, Equipment, Item, Stock
from crewplan.model.people_rows import Certificate, Crew, Person
from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Authority, Requirement
from crewplan.placing import all_choices
from crewplan.scheduling import Stop, schedule
from crewplan.takeoff import take_off_all

PROOF = Stop(seconds=None, gap=0.0, steps=1_000_000)
TZ = ZoneInfo("America/Chicago")
MONDAY, TUESDAY, WEDNESDAY = date(2026, 5, 4), date(2026, 5, 5), date(2026, 5, 6)


def calm_hours(gust_mps=4.0, members=12, days=14):
    first = datetime(2026, 5, 4, tzinfo=TZ)
    calm = {
        "issued_at": NOW - timedelta(hours=2),
        "wind_mps": 2.0,
        "gust_mps": gust_mps,
        "rain_mm": 0.0,
        "temperature_c": 14.0,
        "humidity_pct": 50.0,
        "thunder": 0.0,
        "latitude": 46.8,
        "longitude": -92.1,
    }
    return weather(
        [
            {**calm, "valid_at": first + timedelta(hours=hour), "member": str(member)}
            for member in range(members)
            for hour in range(24 * days)
        ]
    )


def requirements(*jobs):
    return tuple(
        Requirement(name, kind, "granted", date(2026, 3, 2), date(2026, 4, 1))
        for name in jobs
        for kind in ("permit", "survey", "utility_approval")
    )


JOBS = tuple(
    job(name, authority="Hill", due_on=due, longitude=-92.1 + 0.01 * i)
    for i, (name, due) in enumerate(
        (("J1", date(2026, 5, 8)), ("J2", date(2026, 5, 11)), ("J3", date(2026, 5, 12)))
    )
)
PLANES = tuple(plane(job=one.job, rows=(6, 5)) for one in JOBS)
LIMITS = tuple(
    Limit(exposure, "gust", at_most, "m/s", source="by hand")
    for exposure, at_most in (("ground", 20.1), ("roof", 15.6), ("lift", 11.6))
)


@cache
def small_branch():
    """Two crews; two jobs with roof, electrical and inspection; a boom, stock, a frozen roof."""
    return branch(
        settings=settings(freeze_days=1, weather_members=12),
        crews=(Crew("North", 46.8, -92.1), Crew("South", 46.82, -92.12)),
        people=(
            Person("Ada", "North", "lead", 50.0),
            Person("Bo", "North", "installer", 36.0),
            Person("Cy", "South", "lead", 50.0),
            Person("Di", "South", "electrician", 40.0),
        ),
        certificates=(
            Certificate("Bo", "electrician", None),
            Certificate("Di", "electrician", date(2026, 12, 31)),
        ),
        jobs=JOBS,
        planes=PLANES,
        stages=(
            stage("S1", job="J1", equipment=("boom",)),
            stage("S2", job="J1", kind="electrical", after=("S1",), certificates=("electrician",)),
            stage("S3", job="J2", equipment=("boom",)),
            stage("S4", job="J2", kind="electrical", after=("S3",), gap_days=1),
            stage("S5", job="J1", kind="inspection", after=("S2",)),
            stage("S6", job="J2", kind="inspection", after=("S4",)),
            stage("S7", job="J3"),
        ),
        requirements=requirements("J1", "J2"),
        authorities=(Authority("Hill", inspections_per_day=1, notice_days=1),),
        equipment=(Equipment("boom", 1, 80.0),),
        items=(Item("flashing", "flashing"),),
        stock=(Stock("flashing", 60.0),),
        arrivals=(Arrival("flashing", 500.0, date(2026, 5, 7)),),
        weather=calm_hours(),
        package_limits=LIMITS,
        plan=(PlanRow("S3", "South", MONDAY, "am", 1, 4),),
    )


def choose(tables):
    """The choices of a branch over ten working days."""
    today = local_day(tables.settings, NOW)
    days = working_days(tables.settings, today + timedelta(days=1), 10)
    frozen = frozen_days(tables.settings, NOW) if tables.plan else frozenset()
    takeoffs = take_off_all(tables)
    hours = stage_hours_all(tables, takeoffs, today)
    return all_choices(tables, Horizon(days, frozen), takeoffs, hours, NOW)


@cache
def small_choices_of_week():
    return choose(small_branch())


@cache
def small_plan():
    return schedule(small_choices_of_week(), stop=PROOF)


def with_placement(plan, name, **changes):
    """The plan with one placement changed, all else as it was."""
    return replace(
        plan,
        planned=tuple(
            replace(p, placement=replace(p.placement, **changes))
            if p.placement.stage == name
            else p
            for p in plan.planned
        ),
    )


def placement(plan, name):
    return next(p.placement for p in plan.planned if p.placement.stage == name)
