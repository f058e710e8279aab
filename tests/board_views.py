"""Three looks at an invented branch for the board's tests: empty, one job, and a full fortnight."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from builders import job, module, package_rows, plane, racking, settings, stage, weather

from crewplan.model.branch import Branch
from crewplan.model.calendar import shift_hours, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours, StepHours
from crewplan.model.hours_so_far import hours_so_far
from crewplan.model.job_rows import Stage
from crewplan.model.limit_row import Limit
from crewplan.model.people_rows import Absence, Certificate, Crew, Person
from crewplan.model.placement import Placement, Reason
from crewplan.model.plan import Plan, Planned, Unplaced
from crewplan.model.plan_row import PlanRow
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.verdict import DayVerdict, HourVerdict, Verdict, Window
from crewplan.model.waiting_rows import Requirement
from crewplan.model.work_rows import Exposure, HoursWorked
from crewplan.running.board_view import BoardView, SameHours
from crewplan.takeoff.words import DRIVERS

ZONE = ZoneInfo("America/Chicago")
MONDAY = date(2026, 5, 4)
ASKED_AT = datetime(2026, 5, 3, 18, 0, tzinfo=ZONE)
CREWS = ("Alder", "Birch", "Cedar", "Dogwood", "Elm", "Fir")
MPH = 0.44704
LIMITS: dict[Exposure, tuple[Limit, ...]] = {
    "ground": (Limit("ground", "gust", 45 * MPH, "mph", source="assumed"),),
    "roof": (
        Limit("ground", "gust", 45 * MPH, "mph", source="assumed"),
        Limit("roof", "gust", 35 * MPH, "mph", source="roofing trade"),
        Limit("roof", "wind", 23 * MPH, "mph", source="roofing trade"),
    ),
    "lift": (
        Limit("roof", "gust", 35 * MPH, "mph", source="roofing trade"),
        Limit("lift", "gust", 26 * MPH, "mph", source="roofing trade"),
        Limit("lift", "wind", 17 * MPH, "mph", source="roofing trade"),
    ),
}


def people(crews: Sequence[str]) -> tuple[Person, ...]:
    """Three people a crew."""
    return tuple(
        Person(f"{crew} {role}", crew, role, 40.0, phone="555-0100")
        for crew in crews
        for role in ("lead", "installer", "electrician")
    )


def stage_hours(of: Stage) -> StageHours:
    """40 person-hours on the roof, or 8 on the ground."""
    if of.kind == "roof":
        steps = (
            StepHours("unload_and_prepare", "ground", (), 3.0, 0.3, 1, "assumed"),
            StepHours("rails", "roof", (), 17.0, 0.3, 2, "assumed"),
            StepHours("lift", "lift", ("unload_and_prepare", "rails"), 20.0, 0.3, 2, "assumed"),
        )
    else:
        steps = (StepHours("connect_and_label", "ground", (), 8.0, 0.3, 1, "assumed"),)
    p50 = sum(step.p50_h for step in steps)
    return StageHours(of.stage, steps, p50, p50, p50 * 1.2, p50 * 1.3, 0.25, False, False)


def take_off(name: str) -> JobTakeOff:
    """Counts of a roof of 19 modules in three rows, by hand."""
    items = {"module": 19, "attachment": 54, "mid clamp": 32, "end clamp": 12, "rail": 14}
    drivers = dict.fromkeys(DRIVERS, 1.0) | {
        "modules": 19.0, "attachments": 54.0, "rail_m": 45.0, "rows": 3.0, "kw": 7.6,
        "panel_upgrade": 0.0, "battery": 0.0,
    }  # fmt: skip
    return JobTakeOff(name, (), items, drivers, 7600.0)


def _hour(at: datetime, verdict: Verdict, gust_mps: float | None) -> HourVerdict:
    p_go = {"go": 0.95, "no-go": 0.1, "unknown": 0.0}[verdict]
    return HourVerdict(at, verdict, "gust", gust_mps, 26 * MPH, "m/s", p_go)


def day_verdicts(
    of: str, in_job: str, lift: Verdict = "go", void_after: datetime | None = None, **changes: Any
) -> tuple[DayVerdict, ...]:
    """Ground and roof go all day; lift as asked: go in the morning only, with one loose hour."""
    hours = [hour.start for hour in shift_hours(settings(), MONDAY)]
    void_after = void_after or datetime(2026, 5, 4, 6, 0, tzinfo=ZONE)
    found = []
    for exposure in ("ground", "roof", "lift"):
        word: Verdict = lift if exposure == "lift" else "go"
        good = range(9) if exposure != "lift" else (0, 1, 2, 3, 6)
        words: list[Verdict] = [
            "unknown" if word == "unknown" else "go" if word == "go" and i in good else "no-go"
            for i in range(len(hours))
        ]
        gusts = [None if word == "unknown" else 6.0 + i for i in range(len(hours))]
        end = hours[4] if exposure == "lift" else hours[-1] + timedelta(hours=1)
        windows = (Window(hours[0], end, 0.93),) if word == "go" else ()
        values: dict[str, Any] = {
            "day": MONDAY, "exposure": exposure, "job": in_job, "stage": of, "place": "north",
            "place_distance_km": 4.2, "verdict": word,
            "why": {
                "go": "the morning is calm enough", "unknown": "the forecast has no gust",
                "no-go": "gusts pass the limit from 07:00 on",
            }[word],
            "window_needed_h": 2.5, "windows": windows,
            "hours": tuple(map(_hour, hours, words, gusts)),
            "asked_at": ASKED_AT, "void_after": void_after, "age_h": 1.0, "clock": "set by hand",
            "sources": ("roofing trade, second-hand copy",),
        }  # fmt: skip
        found.append(DayVerdict(**(values | changes)))
    return tuple(found)


def _weather() -> Any:
    """Five members, the gust rising through Monday, with 11:00 missing."""
    rows = []
    for member in range(5):
        for place, hour in enumerate(shift_hours(settings(), MONDAY)):
            gone = place == 4
            rows.append(
                {
                    "valid_at": hour.start, "member": str(member), "issued_at": ASKED_AT,
                    "place": "north", "latitude": 46.8, "longitude": -92.1,
                    "wind_mps": np.nan if gone else 3.0 + place * 0.5 + member * 0.3,
                    "gust_mps": np.nan if gone else 5.0 + place + member * 0.6,
                }
            )  # fmt: skip
    return weather(rows)


def placement(of: str, crew: str, first: int, count: int = 2, **changes: Any) -> Placement:
    """A placement of a crew on half-days in a row."""
    values: dict[str, Any] = {
        "stage": of, "crew": crew, "cells": tuple(range(first, first + count)),
        "people": (f"{crew} lead", f"{crew} installer"), "lead": f"{crew} lead",
        "labour_p50_h": 16.0, "labour_p80_h": 19.0, "lost_h": 1.2, "p_go": 0.95, "p_ready": 1.0,
        "p_finish": 0.93, "granted": True, "cost": {"travel": 4200, "expected_lost_hours": 4800},
    }  # fmt: skip
    return Placement(**(values | changes))


def view(
    jobs: Sequence[Any] = (),
    stages: Sequence[Stage] = (),
    planned: Sequence[Planned] = (),
    unplaced: Sequence[Unplaced] = (),
    crews: Sequence[str] = CREWS,
    tables: dict[str, Any] | None = None,
    **changes: Any,
) -> BoardView:
    """A board's view of these rows; `tables` are further tables of the branch."""
    branch = Branch(
        settings=settings(units="us", invented=True),
        present=frozenset({"jobs"}),
        people=people(crews),
        crews=tuple(Crew(crew, 46.8, -92.1) for crew in crews),
        jobs=tuple(jobs),
        planes=tuple(plane(job=row.job) for row in jobs),
        stages=tuple(stages),
        weather=_weather() if jobs else weather(),
        weather_past=weather(),
        modules=(module(),),
        racking=(racking(),),
        steps=package_rows("steps"),
        rates=package_rows("rates"),
        factors=package_rows("factors"),
        package_limits=(),
        **({"requirements": ()} | (tables or {})),
    )
    horizon = Horizon(working_days(branch.settings, MONDAY, 10), frozenset())
    price = sum(row.placement.cents for row in planned) + sum(row.cents for row in unplaced)
    parts = {"travel": price // 3, "lateness": price - price // 3} if price else {}
    plan = Plan(
        horizon, price, price - price // 400, "highs", price * 5 // 4, parts, tuple(planned),
        tuple(unplaced), (),
    )  # fmt: skip
    values: dict[str, Any] = {
        "branch": branch, "plan": plan, "gate_day": MONDAY, "verdicts": (),
        "limits": LIMITS, "takeoffs": {row.job: take_off(row.job) for row in jobs},
        "hours": {row.stage: stage_hours(row) for row in stages}, "asked_at": ASKED_AT,
        "clock": "set by hand", "chances_void_after": ASKED_AT + timedelta(hours=48),
        "warnings": (), "worked": SameHours(hours_so_far(branch.hours_worked)),
    }  # fmt: skip
    return BoardView(**(values | changes))


def empty_view(**changes: Any) -> BoardView:
    """Crews, and not a single job."""
    return view(**changes)


def one_job_view(
    lift: Verdict = "go", void_after: datetime | None = None, **changes: Any
) -> BoardView:
    """One job, one roof stage on Monday with Alder."""
    rows = (stage("S1"),)
    planned = (Planned(placement("S1", "Alder", 0, p_go=0.98, p_finish=0.95), "J1", True, ()),)
    verdicts = (
        *day_verdicts("S1", "J1", lift, void_after),
        *day_verdicts("", "", lift, void_after),
    )
    jobs = (
        job("J1", customer="Marigold household", address="1 Invented Lane", contact="P. Marigold"),
    )
    changes = {"verdicts": verdicts} | changes
    return view(jobs, rows, planned, crews=("Alder",), **changes)


def full_view(**changes: Any) -> BoardView:
    """Six crews, 66 stages, 60 of them placed, and one of every trouble."""
    jobs = tuple(
        job(
            f"J{n}", customer=f"Household {n}", address=f"{n} Invented Lane", contact=f"Person {n}",
            phone=f"555-01{n:02d}", authority="Invented county", utility="Invented power",
            due_on=date(2026, 5, 6) if n % 9 == 0 else date(2026, 5, 22),
            lift_method=("hoist", "boom", "conveyor", "ladder_hoist")[n % 4],
        )
        for n in range(1, 47)
    )  # fmt: skip
    stages = tuple(
        stage(
            f"S{n}", job=f"J{n if n <= 46 else n - 46}", kind="roof" if n <= 46 else "electrical",
            certificates=("roof_anchor",) if n % 7 == 0 else (),
        )
        for n in range(1, 67)
    )  # fmt: skip
    planned = tuple(
        Planned(
            placement(
                f"S{n}", CREWS[(n - 1) % 6], 2 * ((n - 1) // 6),
                p_go=0.72 if n % 11 == 0 else 0.95, p_ready=0.84 if n % 5 == 0 else 1.0,
            ),
            stages[n - 1].job, n % 5 != 0, {0: ("permit", "kit"), 5: ("permit",)}.get(n % 10, ()),
        )
        for n in range(1, 61)
    )  # fmt: skip
    unplaced = tuple(
        Unplaced(
            f"S{n}", stages[n - 1].job, 45_000 + n * 100,
            (
                Reason("readiness", "permit refused"),
                Reason("capacity", "every crew that may is taken", MONDAY, date(2026, 5, 15)),
            ),
            n == 61,
        )
        for n in range(61, 67)
    )  # fmt: skip
    verdicts = list(day_verdicts("", ""))
    for n, lift in enumerate(("go", "no-go", "unknown", "go", "go", "no-go"), start=1):
        verdicts += day_verdicts(f"S{n}", f"J{n}", lift)
    causes = ("", "", "", "weather", "", "waiting_for_permit", "", "missing_tool_or_part", "rework")
    tables = {
        "requirements": tuple(
            Requirement(f"J{n}", "permit", "asked", date(2026, 4, 14), None, date(2026, 5, 6))
            for n in range(5, 47, 5)
        ),
        "certificates": (Certificate("Alder lead", "roof_anchor", date(2026, 5, 13)),),
        "absences": (Absence("Birch lead", MONDAY, date(2026, 5, 5), "ill"),),
        "plan": (PlanRow("S3", "Dogwood", date(2026, 5, 5)), PlanRow("S4", "Dogwood", MONDAY)),
        "hours_worked": tuple(
            HoursWorked(
                date(2026, 4, 1 + n % 28), f"S{1 + n % 46}", f"{CREWS[n % 6]} lead",
                1.0 + n % 7, cause=causes[n % len(causes)],
            )
            for n in range(240)
        ),
    }  # fmt: skip
    return view(
        jobs, stages, planned, unplaced, tables=tables, verdicts=tuple(verdicts),
        warnings=("jobs: J7 has no price",), **changes,
    )  # fmt: skip
