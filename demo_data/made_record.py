"""Invented record of April: who worked on what, what cost hours, and how far each step is."""

from datetime import date

import numpy as np
from invented import Row, dice, workdays_between
from made_people import ABSENCES, PEOPLE

HOURS_COLUMNS = ("day", "stage", "step", "person", "hours", "cause", "note", "about")
PROGRESS_COLUMNS = ("day", "stage", "step", "share_done")

DAY_H = 8.5
"""Working hours of a shift."""

# stage, crew, first day; what is done by the last day of the record.
DONE = (
    ("J01-roof", "Alder", "2026-04-06"),
    ("J02-roof", "Birch", "2026-04-07"),
    ("J03-roof", "Fir", "2026-04-08"),
    ("J04-roof", "Gorse", "2026-04-09"),
    ("J01-electrical", "Birch", "2026-04-10"),
    ("J05-roof", "Cedar", "2026-04-14"),
    ("J02-electrical", "Dogwood", "2026-04-14"),
    ("J03-electrical", "Fir", "2026-04-15"),
    ("J06-roof", "Dogwood", "2026-04-16"),
    ("J04-electrical", "Gorse", "2026-04-17"),
    ("J07-roof", "Elm", "2026-04-20"),
    ("J01-inspection", "Alder", "2026-04-20"),
    ("J02-inspection", "Birch", "2026-04-21"),
    ("J05-electrical", "Fir", "2026-04-21"),
    ("J08-roof", "Alder", "2026-04-22"),
    ("J06-electrical", "Dogwood", "2026-04-23"),
    ("J09-roof", "Birch", "2026-04-23"),
    ("J03-inspection", "Fir", "2026-04-24"),
    ("J04-inspection", "Gorse", "2026-04-27"),
    ("J07-electrical", "Gorse", "2026-04-28"),
)
HALF_DONE = (
    ("J10-roof", "Cedar", "2026-04-30", 13.0),
    ("J11-roof", "Dogwood", "2026-05-01", 16.0),
    ("J12-roof", "Fir", "2026-05-01", 9.5),
)
"""The last figure: productive person-hours after which the crew broke off."""

# What cost hours: (stage, n-th day on site) -> hours of each person, cause, note, about what.
LOST = {
    ("J02-roof", 0): (
        0.75,
        "missing_tool_or_part",
        "end clamps were not on the truck",
        "end clamp",
    ),
    ("J02-roof", 1): (1.0, "return_trip", "fetched the end clamps", "end clamp"),
    ("J03-roof", 0): (2.0, "weather", "gusts from ten to noon", "gust"),
    ("J04-roof", 0): (0.5, "customer", "car stood in the drive", ""),
    ("J05-roof", 0): (1.25, "waiting_for_material", "rails came late", "rail"),
    ("J06-roof", 1): (1.0, "rework", "one row off its marks", ""),
    ("J07-roof", 0): (2.5, "weather", "rain until half past nine", "rain"),
    ("J08-roof", 0): (0.5, "other", "road works", ""),
    ("J09-roof", 0): (1.0, "waiting_for_permit", "permit card was not on site", ""),
    ("J03-inspection", 0): (1.5, "failed_inspection", "label missing, seen again the same day", ""),
    ("J04-electrical", 0): (0.75, "missing_tool_or_part", "no conduit bends left", "conduit bend"),
    ("J12-roof", 0): (1.5, "weather", "wet roof until nine", "wet"),
}

# Hours of a step for one module, plane, visit or system; assumed, a little over the package's.
ROOF_H = {
    "unload_and_prepare": 0.12,
    "mark_rafters": 0.13,
    "attachments": 0.34,
    "rails": 0.15,
    "microinverters_and_leads": 0.26,
    "lift": 0.12,
    "set_and_clamp": 0.17,
    "torque_check": 0.06,
}
FALL_PROTECTION_H, CLEAR_UP_H = 1.8, 2.6
ELECTRICAL_H = {"conduit_and_disconnects": 6.3, "connect_and_label": 4.6}
INSPECTION_H = {"inspection_visit": 1.5}
STEP_ORDER = (
    "unload_and_prepare",
    "fall_protection",
    "mark_rafters",
    "attachments",
    "rails",
    "microinverters_and_leads",
    "lift",
    "set_and_clamp",
    "torque_check",
    "clear_up",
)


def step_hours(stage: str, planes: list[Row]) -> dict[str, float]:
    """Person-hours that the steps of a stage took, in order."""
    job, kind = stage.split("-")
    rng = dice(f"record {stage}")
    if kind == "roof":
        own = [plane for plane in planes if plane["job"] == job]
        modules = sum(int(n) for plane in own for n in str(plane["rows"]).split(";"))
        fair = {step: hours * modules for step, hours in ROOF_H.items()}
        fair |= {"fall_protection": FALL_PROTECTION_H * len(own), "clear_up": CLEAR_UP_H}
        fair = {step: fair[step] for step in STEP_ORDER}
    else:
        fair = ELECTRICAL_H if kind == "electrical" else INSPECTION_H
    return {step: hours * float(np.exp(rng.normal(0, 0.2))) for step, hours in fair.items()}


def present(crew: str, kind: str, day: date) -> list[str]:
    """Who of a crew goes: all who are there, or one for an inspection."""
    away = {p for p, first, last, _ in ABSENCES if first <= day.isoformat() <= last}
    there = [person for person, its, _ in PEOPLE if its == crew and person not in away]
    return there[:1] if kind == "inspection" else there


def record(planes: list[Row]) -> tuple[list[Row], list[Row]]:
    """All rows of the tables `hours_worked` and `progress`."""
    hours: list[Row] = []
    progress: list[Row] = []
    todo = [(*row, float("inf")) for row in DONE] + list(HALF_DONE)
    for stage, crew, first, most_h in todo:
        _walk(stage, crew, date.fromisoformat(first), most_h, planes, hours, progress)
    hours.sort(key=lambda row: str(row["day"]))
    progress.sort(key=lambda row: str(row["day"]))
    return hours, progress


def _walk(
    stage: str,
    crew: str,
    first: date,
    most_h: float,
    planes: list[Row],
    hours: list[Row],
    progress: list[Row],
) -> None:
    """One stage from its first day on, steps in order, until it is done or broken off."""
    total = step_hours(stage, planes)
    left = dict(total)
    rng = dice(f"travel {stage}")
    for visit, day in enumerate(workdays_between(first, date(2026, 5, 1))):
        people = present(crew, stage.split("-")[1], day)
        travel_h = round(0.4 + 0.5 * float(rng.random()), 1)
        lost_h, cause, note, about = LOST.get((stage, visit), (0.0, "", "", ""))
        time_h = DAY_H - travel_h - lost_h
        for person in people:
            row: Row = {"day": day, "stage": stage, "person": person}
            hours.append(row | {"hours": travel_h, "cause": "travel"})
            if cause:
                hours.append(row | {"hours": lost_h, "cause": cause, "note": note, "about": about})
        seen: dict[str, float] = {}
        for step in [step for step, rest in left.items() if rest > 0]:
            each_h = min(left[step] / len(people), time_h, most_h / len(people))
            if each_h <= 0:
                break
            left[step] -= each_h * len(people)
            if left[step] < 1e-9:
                left[step] = 0.0
            time_h -= each_h
            most_h -= each_h * len(people)
            share = 1 - left[step] / total[step]
            seen[step] = 1.0 if left[step] == 0 else min(round(share, 2), 0.99)
            hours.extend(
                {"day": day, "stage": stage, "step": step, "person": person, "hours": each}
                for person in people
                if (each := round(each_h, 2)) > 0
            )
        progress.extend(
            {"day": day, "stage": stage, "step": step, "share_done": share}
            for step, share in seen.items()
        )
        if most_h < 1e-9 or not any(left.values()):
            return
