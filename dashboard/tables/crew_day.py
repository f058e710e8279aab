"""Who is where on a day, and which verdicts hold there."""

from dataclasses import dataclass, replace
from datetime import date

from crewplan.model.job_rows import Job, Stage
from crewplan.model.next_early import NextEarly
from crewplan.model.parts import planned_parts
from crewplan.model.people_rows import Person
from crewplan.model.plan import Plan, Planned
from crewplan.model.verdict import DayVerdict
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.board_view import BoardView
from crewplan.running.next_early import after_visit, next_early
from dashboard.once import remembered


@dataclass(frozen=True, slots=True)
class Visit:
    """A placement on one of its days."""

    planned: Planned
    stage: Stage
    job: Job
    halves: str
    """'am', 'pm' or 'all day'."""
    day_number: int
    """1 on its first day."""
    days: int
    part: str = ""
    """'part 1 of 2' where the crew leaves the job open and comes back; else empty."""


def visits(view: BoardView, day: date) -> tuple[Visit, ...]:
    """All placements that touch the day, by crew in the folder's order, then by start."""
    return remembered(view, f"visits {day}", None, lambda: _visits(view, day))


def _visits(view: BoardView, day: date) -> tuple[Visit, ...]:
    stages = {stage.stage: stage for stage in view.branch.stages}
    jobs = {job.job: job for job in view.branch.jobs}
    order = {crew.crew: place for place, crew in enumerate(view.branch.crews)}
    found = []
    for planned in view.plan.planned:
        days = placement_days(view.plan, planned)
        if day not in days:
            continue
        found.append(
            Visit(
                planned,
                stages[planned.placement.stage],
                jobs[planned.job],
                _halves(view.plan, planned, day),
                days.index(day) + 1,
                len(days),
                part_words(view.plan, planned, day),
            )
        )
    return tuple(
        sorted(found, key=lambda v: (order[v.planned.placement.crew], v.planned.placement.start))
    )


def early_after(view: BoardView, visit: Visit) -> NextEarly | None:
    """What the crew may go on to when it is done with the visit early."""

    def told() -> dict[str, NextEarly]:
        planned = replace(view.branch, plan=plan_rows(view.plan))
        return next_early(planned, view.hours, view.gate_day)

    early = remembered(view, "next early", None, told)
    return after_visit(early, visit.planned.placement.crew, visit.stage.stage)


def placement_days(plan: Plan, planned: Planned) -> tuple[date, ...]:
    """Days of a placement, in order."""
    return tuple(dict.fromkeys(plan.horizon.day_of(cell) for cell in planned.placement.cells))


def part_words(plan: Plan, planned: Planned, day: date) -> str:
    """Which part of its stage the day is in; empty where the stage is done in one go."""
    for part in planned_parts([planned]):
        if any(plan.horizon.day_of(cell) == day for cell in part.planned.placement.cells):
            return part.words
    return ""


def _halves(plan: Plan, planned: Planned, day: date) -> str:
    halves = [
        plan.horizon.half_of(cell)
        for cell in planned.placement.cells
        if plan.horizon.day_of(cell) == day
    ]
    return "all day" if len(halves) == 2 else halves[0]


def free_halves(view: BoardView, day: date) -> tuple[tuple[str, str], ...]:
    """(crew, 'am', 'pm' or 'all day') with nothing placed, and somebody there to be sent."""
    gone = {person.person for person in away(view, day)}
    there = {person.crew for person in view.branch.people if person.person not in gone}
    taken = {
        (planned.placement.crew, view.plan.horizon.half_of(cell))
        for planned in view.plan.planned
        for cell in planned.placement.cells
        if view.plan.horizon.day_of(cell) == day
    }
    found = []
    for crew in view.branch.crews:
        free = [half for half in ("am", "pm") if (crew.crew, half) not in taken]
        if free and crew.crew in there:
            found.append((crew.crew, "all day" if len(free) == 2 else free[0]))
    return tuple(found)


def away(view: BoardView, day: date) -> tuple[Person, ...]:
    """People who are away on the day."""
    absent = {
        row.person
        for row in view.branch.absences
        if row.first_day <= day and (row.last_day is None or day <= row.last_day)
    }
    return tuple(person for person in view.branch.people if person.person in absent)


def verdicts_for(view: BoardView, stage: str) -> tuple[DayVerdict, ...]:
    """Verdicts of the stage's site on the gate's day; stage empty: of the branch's own place."""
    return tuple(verdict for verdict in view.verdicts if verdict.stage == stage)
