"""Lost hours and days late of a plan, recounted member by member from the tables themselves.

Shares no code with crewplan.placing, crewplan.scheduling or crewplan.weather: plain loops over the
rows of weather.csv in slots of five minutes. Only hours by step come from crewplan.labour.
"""

import csv
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours

SLOT = timedelta(minutes=5)
SLOT_H = 1 / 12
MPH = 0.44704  # m/s, exact by the international yard (1959)
EXPOSURE_ORDER = ("lift", "roof", "ground")

Values = Mapping[str, float]


@dataclass(frozen=True)
class Sent:
    """One stage as any plan tells it."""

    stage: str
    crew: str
    cells: tuple[tuple[date, str], ...]


@dataclass(frozen=True)
class Recount:
    """Means over the members."""

    lost_h: float
    days_late: float


def read_weather(folder: Path) -> dict[str, dict[tuple[str, datetime], Values]]:
    """By place: (member, hour in UTC) -> values."""
    table: dict[str, dict[tuple[str, datetime], Values]] = {}
    with (folder / "weather.csv").open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            key = (
                row["member"],
                datetime.fromisoformat(row["valid_at"]).astimezone(ZoneInfo("UTC")),
            )
            table.setdefault(row["place"], {})[key] = {
                name: float(row[name] or "nan")
                for name in ("wind_mps", "gust_mps", "rain_mm", "temperature_c", "thunder")
            }
    return table


def place_coordinates(folder: Path) -> dict[str, tuple[float, float]]:
    with (folder / "weather.csv").open(newline="", encoding="utf-8") as file:
        return {
            row["place"]: (float(row["latitude"]), float(row["longitude"]))
            for row in csv.DictReader(file)
        }


def kilometres(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great circle by the spherical law of cosines, earth radius 6371 km."""
    (la, oa), (lb, ob) = ((math.radians(x), math.radians(y)) for x, y in (a, b))
    cosine = math.sin(la) * math.sin(lb) + math.cos(la) * math.cos(lb) * math.cos(oa - ob)
    return 6371 * math.acos(min(1.0, max(-1.0, cosine)))


def open_for(
    weather: Mapping[tuple[str, datetime], Values], member: str, hour: datetime
) -> set[str]:
    """Exposures open by the limits that decide the demo's weather: wind, gust, rain, wet, thunder,
    frost before nine (DESIGN's default values). A missing value closes the roof and the lift."""
    at = {back: weather.get((member, hour - timedelta(hours=back))) for back in (0, 1)}
    now, before = at[0], at[1]
    if now is None or before is None or any(math.isnan(v) for v in now.values()):
        return {"ground"}
    if now["thunder"] > 0 or before["thunder"] > 0 or now["gust_mps"] > 45 * MPH:
        return set()
    good = {"ground"}
    frost = now["temperature_c"] < 4 and hour.astimezone(ZoneInfo("America/Chicago")).hour < 8
    if (
        now["wind_mps"] <= 23 * MPH
        and now["gust_mps"] <= 35 * MPH
        and now["rain_mm"] <= 0.25
        and before["rain_mm"] <= 0.25
        and not frost
    ):
        good.add("roof")
        if now["wind_mps"] <= 17 * MPH and now["gust_mps"] <= 26 * MPH:
            good.add("lift")
    return good


def slots_of(branch: Branch, cells: Iterable[tuple[date, str]], drive_h: float) -> list[datetime]:
    """Starts of the five-minute slots on site: shift less break, less the drive out at the day's
    first half-day and back at its last."""
    zone = ZoneInfo(branch.settings.timezone)
    by_day: dict[date, list[str]] = {}
    for day, half in cells:
        by_day.setdefault(day, []).append(half)
    slots: list[datetime] = []
    for day, halves in by_day.items():
        start = datetime.combine(day, branch.settings.shift_start, zone)
        shift = timedelta(hours=branch.settings.shift_h)
        rest = timedelta(hours=branch.settings.break_h / 2)
        spans = {
            "am": (start, start + shift / 2 - rest),
            "pm": (start + shift / 2 + rest, start + shift),
        }
        out, back = spans[halves[0]][0], spans[halves[-1]][1]
        drive = timedelta(hours=drive_h)
        for half in halves:
            time, end = spans[half]
            while time + SLOT <= end:
                if time >= out + drive and time + SLOT <= back - drive:
                    slots.append(time)
                time += SLOT
    return slots


def walk(
    hours: StageHours, slots: list[datetime], pace: Mapping[date, float], count: Mapping[date, int],
    opened: Mapping[datetime, set[str]],
) -> tuple[float, datetime | None]:  # fmt: skip
    """Person-hours lost, and when the work is done (None: not in these slots), for one member."""
    left = {step.step: step.p50_h for step in hours.steps}
    steps = sorted(hours.steps, key=lambda step: EXPOSURE_ORDER.index(step.exposure))
    lost = 0.0
    utc = ZoneInfo("UTC")
    for slot in slots:
        hour = slot.astimezone(utc).replace(minute=0)
        budget = SLOT_H * pace[slot.date()]
        working = True
        while budget > 1e-12 and working:
            working = False
            for step in steps:
                ready = all(left[name] <= 1e-9 for name in step.after)
                if left[step.step] > 1e-9 and ready and step.exposure in opened[hour]:
                    used = min(budget, left[step.step])
                    left[step.step] -= used
                    budget -= used
                    working = True
                    break
        if all(value <= 1e-9 for value in left.values()):
            return lost, slot
        lost += budget / pace[slot.date()] * count[slot.date()]
    return lost, None


def recount(
    folder: Path, branch: Branch, hours: Mapping[str, StageHours], sent: Iterable[Sent],
    left_out: Iterable[str], last_day: date,
) -> Recount:  # fmt: skip
    """Lost person-hours of all placements, and days by which stages end after their promise.

    What is not finished ends on the day after its last. What is left out ends a week after
    `last_day`: it waits for the next plan (assumed, the same for every plan that is compared).
    Weather beyond the table's end does not occur in the demo.
    """
    weather, places = read_weather(folder), place_coordinates(folder)
    members = sorted({member for table in weather.values() for member, _ in table})
    jobs = {job.job: job for job in branch.jobs}
    job_of = {stage.stage: jobs[stage.job] for stage in branch.stages}
    bases = {crew.crew: (crew.base_latitude, crew.base_longitude) for crew in branch.crews}
    lost = late = 0.0
    for one in sent:
        job = job_of[one.stage]
        site = (job.latitude, job.longitude)
        near = min(places, key=lambda place: kilometres(places[place], site))
        drive_h = (
            kilometres(bases[one.crew], site) * branch.settings.detour_factor
            / branch.settings.travel_kmh
        )  # fmt: skip
        days = sorted({day for day, _ in one.cells})
        there = {
            day: [
                person
                for person in branch.people
                if person.crew == one.crew
                and not any(
                    away.person == person.person
                    and away.first_day <= day <= (away.last_day or date.max)
                    for away in branch.absences
                )
            ]
            for day in days
        }
        pace = {day: sum(person.pace for person in people) for day, people in there.items()}
        count = {day: len(people) for day, people in there.items()}
        slots = slots_of(branch, one.cells, drive_h)
        clock_hours = {slot.astimezone(ZoneInfo("UTC")).replace(minute=0) for slot in slots}
        for member in members:
            opened = {hour: open_for(weather[near], member, hour) for hour in clock_hours}
            hours_lost, done = walk(hours[one.stage], slots, pace, count, opened)
            end = done.date() if done is not None else days[-1] + timedelta(days=1)
            lost += hours_lost / len(members)
            late += max(0, (end - job.due_on).days) / len(members)
    for stage in left_out:
        late += max(0, (last_day + timedelta(days=7) - job_of[stage].due_on).days)
    return Recount(lost, late)
