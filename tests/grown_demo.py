"""The invented company grown: more crews, and years of finished jobs behind it; by a seed."""

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, get_args

from crewplan.intake import OwnTables, branch_of, read_own_tables
from crewplan.labour import stage_hours_all
from crewplan.model.waiting_rows import LeadTime
from crewplan.model.work_rows import Cause, HoursWorked, Progress
from crewplan.running.demo import demo_folder
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
_NAMED = ("person", "crew", "job", "stage")
_COPIED = (
    "people", "certificates", "absences", "crews", "jobs", "planes", "stages", "requirements",
    "hours_worked", "progress", "plan",
)  # fmt: skip
_LOST = tuple(cause for cause in get_args(Cause) if cause)


@dataclass(frozen=True, slots=True)
class Years:
    """How much is finished, spread over so many days before today."""

    jobs: int
    hours: int
    lead_times: int
    days: int = 1825


FIVE_YEARS = Years(jobs=4_880, hours=400_000, lead_times=4_000)
"""With 120 open jobs of 240 stages: 5,000 jobs of 10,000 stages."""


def _named(row: Any, copy: int) -> Any:
    """The row of a copy: every name in it with the copy's number."""
    if not copy:
        return row
    names = {name: f"{getattr(row, name)} {copy}" for name in _NAMED if hasattr(row, name)}
    if hasattr(row, "after"):
        names["after"] = tuple(f"{name} {copy}" for name in row.after)
    return replace(row, **names)


def _cut(rows: dict[str, tuple[Any, ...]], crews: int, stages: int) -> dict[str, tuple[Any, ...]]:
    """The first crews, and the first jobs that have so many stages; all else that hangs on them."""
    crew_names = {row.crew for row in rows["crews"][:crews]}
    people = {row.person for row in rows["people"] if row.crew in crew_names}
    jobs, stage_names = set[str](), set[str]()
    for job in rows["jobs"]:
        mine = [row.stage for row in rows["stages"] if row.job == job.job]
        if len(stage_names) + len(mine) <= stages:
            jobs.add(job.job)
            stage_names.update(mine)

    def stays(row: Any) -> bool:
        return all(
            getattr(row, name) in kept
            for name, kept in (
                ("crew", crew_names), ("person", people), ("job", jobs), ("stage", stage_names),
            )
            if hasattr(row, name)
        )  # fmt: skip

    return {name: tuple(filter(stays, of)) for name, of in rows.items()}


def grown(crews: int = 40, stages: int = 240, years: Years | None = None) -> OwnTables:
    """The demo's tables so many times; its clock set by hand is taken out."""
    small = read_own_tables(demo_folder())
    copies = max(-(-crews // len(small.rows["crews"])), -(-stages // len(small.rows["stages"])))
    rows = {
        name: tuple(_named(row, copy) for copy in range(copies) for row in small.rows[name])
        for name in _COPIED
    }
    rows = {**small.rows, **_cut(rows, crews, stages)}
    for table, column in (
        ("stock", "on_hand"),
        ("arrivals", "quantity"),
        ("equipment", "quantity"),
    ):
        rows[table] = tuple(
            replace(row, **{column: getattr(row, column) * copies}) for row in rows[table]
        )
    own = OwnTables(replace(small.settings, demo=None), rows, small.weather)
    return own if years is None else _with_years(own, years)


def _with_years(own: OwnTables, years: Years) -> OwnTables:
    """Finished jobs in front of the open ones, as in a folder that was kept up for years."""
    chance, branch = random.Random(1), branch_of(own)
    steps = stage_hours_all(branch, take_off_all(branch), date.min)
    fresh: dict[str, list[Any]] = {name: [] for name in _COPIED}
    crews = [
        [row.person for row in branch.people if row.crew == crew.crew] for crew in branch.crews
    ]
    two = [
        job
        for job in branch.jobs
        if sum(
            stage.job == job.job and stage.kind in ("roof", "electrical") for stage in branch.stages
        )
        == 2
    ]
    done: list[tuple[str, date, list[str]]] = []
    for number in range(years.jobs):
        model, name = chance.choice(two), f"H{number:05}"
        day = TODAY - timedelta(days=30 + years.days - number * years.days // years.jobs)
        fresh["jobs"].append(
            replace(
                model, job=name, earliest_on=day, due_on=day + timedelta(days=30), customer_days=()
            )
        )
        fresh["planes"] += [replace(row, job=name) for row in branch.planes if row.job == model.job]
        fresh["requirements"] += [
            replace(row, job=name, state="granted", asked_on=None, granted_on=day)
            for row in branch.requirements
            if row.job == model.job
        ]
        before: tuple[str, ...] = ()
        crew = chance.choice(crews)
        for stage in branch.stages:
            if stage.job != model.job or stage.kind not in ("roof", "electrical"):
                continue
            of = f"{name}-{stage.kind}"
            fresh["stages"].append(replace(stage, stage=of, job=name, after=before))
            fresh["progress"] += [
                Progress(day + timedelta(days=3), of, step.step, 1.0)
                for step in steps[stage.stage].steps
            ]
            before = (of,)
            done.append((of, day, crew))
    fresh["hours_worked"] += _hours(done, years.hours, chance)
    rows = {
        name: (*fresh.get(name, ()), *own.rows[name]) if name in fresh else own.rows[name]
        for name in own.rows
    }
    rows["lead_times"] = (*own.rows["lead_times"], *_lead_times(own, years, chance))
    return replace(own, rows=rows)


def _hours(
    done: list[tuple[str, date, list[str]]], count: int, chance: random.Random
) -> Iterator[HoursWorked]:
    for number in range(count):
        stage, day, crew = done[number * len(done) // count]
        yield HoursWorked(
            day + timedelta(days=number % 4),
            stage,
            chance.choice(crew),
            chance.randrange(1, 36) / 4,
            cause=chance.choice(_LOST) if chance.random() < 0.2 else "",
        )


def _lead_times(own: OwnTables, years: Years, chance: random.Random) -> Iterator[LeadTime]:
    for number in range(years.lead_times):
        like = chance.choice(own.rows["lead_times"])
        asked = TODAY - timedelta(days=60 + number * years.days // years.lead_times)
        wait = timedelta(days=chance.randrange(5, 50))
        yield replace(like, asked_on=asked, granted_on=asked + wait)
