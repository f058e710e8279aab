"""Stages that are left open and taken up again: whole, paid for at each part, and few at a time."""

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from crewplan.model.calendar import is_working_day, local_day
from crewplan.model.placement import Placement
from crewplan.model.plan_row import PlanRow
from crewplan.scheduling.checker.facts import Facts
from crewplan.scheduling.checker.when import usable

_ROUNDED_CENTS = 2
_MOST_DAYS = 366


def parts_are_whole(facts: Facts) -> Iterator[str]:
    """The parts are the placement's half-days, in order, with time in between, and all its work."""
    for placement in facts.known:
        parts = placement.parts
        if not parts:
            continue
        name = placement.stage
        if len(parts) < 2 or any(not part.cells for part in parts):
            yield f"parts: {name} is broken off and never taken up again"
            continue
        if tuple(cell for part in parts for cell in part.cells) != placement.cells:
            yield f"parts: those of {name} are not its half-days"
        for one, other in pairwise(parts):
            between = range(max(one.cells) + 1, min(other.cells))
            if not any(usable(facts, placement, cell) for cell in between):
                yield f"parts: the crew never leaves {name} between its parts"
        hours = facts.hours[name]
        if not hours.exposed or placement.short_h is not None:
            yield f"parts: {name} is not a stage to break off"
        work_h = sum(part.labour_p50_h for part in parts)
        if work_h < hours.p50_h + hours.again_p80_h * (len(parts) - 1) - 1e-6:
            yield f"parts: {work_h:.1f} h are not all of {name} with its set-up again"
        for part in parts:
            days = {facts.plan.horizon.day_of(cell) for cell in part.cells}
            there = {p.person for day in days for p in facts.there(placement.crew, day)}
            if there != set(part.people):
                yield f"parts: people of a part of {name} are not who is there"


def _wanted(facts: Facts, placement: Placement) -> dict[str, float]:
    """Cents of what coming back and staying away cost, by the tables."""
    horizon, settings = facts.plan.horizon, facts.branch.settings
    hours = facts.hours[placement.stage]

    def an_hour(day: date) -> float:
        return sum(p.cost_per_h for p in facts.there(placement.crew, day))

    set_up, away = 0.0, 0
    for one, other in pairwise(placement.parts):
        day = horizon.day_of(min(other.cells))
        pace = sum(p.pace for p in facts.there(placement.crew, day))
        set_up += hours.again_p80_h * an_hour(day) / pace
        between = range(max(one.cells) + 1, min(other.cells))
        away += sum(usable(facts, placement, cell) for cell in between)
    if hours.begun:
        away += min(placement.cells)
    return {
        "set-up again": 100 * set_up,
        "left open": 100 * settings.open_day_cost * away / 2,
    }


def parts_are_priced(facts: Facts) -> Iterator[str]:
    """Set-up at every later part, half-days left open; parts add up."""
    for placement in facts.known:
        for name, cents in _wanted(facts, placement).items():
            told = placement.cost.get(name, 0)
            if abs(told - cents) > _ROUNDED_CENTS:
                yield f"price: {placement.stage} carries {told} cents for {name}, not {cents:.0f}"
        if not placement.parts:
            continue
        for name in {*placement.cost, *(name for part in placement.parts for name in part.cost)}:
            if sum(part.cost.get(name, 0) for part in placement.parts) != placement.cost.get(
                name, 0
            ):
                yield f"price: {name} of the parts of {placement.stage} does not add up"
        if abs(sum(part.lost_h for part in placement.parts) - placement.lost_h) > 1e-5:
            yield f"parts: hours lost in the parts of {placement.stage} do not add up"


def _goes_on(facts: Facts, row: PlanRow) -> bool:
    """Whether a published row that began before the plan's first day reaches into it."""
    first, day, left = facts.plan.horizon.days[0], row.start_on, row.half_days
    spans = facts.jobs[facts.stages[row.stage].job].customer_days
    for _ in range(_MOST_DAYS):
        if day >= first or left <= 0:
            break
        allowed = not spans or any(a <= day <= b for a, b in spans)
        if is_working_day(facts.branch.settings, day) and facts.there(row.crew, day) and allowed:
            left -= 1 if (day, row.start_half) == (row.start_on, "pm") else 2
        day += timedelta(days=1)
    return row.start_on < first and left > 0


def _worked_just_before(facts: Facts, stage: str) -> bool:
    """Whether its last progress was seen on the working day before the plan's first day."""
    today = local_day(facts.branch.settings, facts.now)
    days = [
        row.day
        for row in facts.branch.progress
        if row.stage == stage and row.share_done > 0 and row.day <= today
    ]
    day = max(days, default=date.min) + timedelta(days=1)
    while days and day < facts.plan.horizon.days[0]:
        if is_working_day(facts.branch.settings, day):
            return False
        day += timedelta(days=1)
    return bool(days)


def few_left_open(facts: Facts) -> Iterator[str]:
    """A crew leaves no more jobs open at once than it may; those begun before count throughout."""
    most = facts.branch.settings.open_jobs_max
    first = facts.plan.horizon.days[0]
    before: dict[str, set[str]] = {}
    for name, hours in facts.hours.items():
        rows = sorted((r for r in facts.branch.plan if r.stage == name), key=lambda r: r.part)
        if not hours.begun or hours.done or not rows or _worked_just_before(facts, name):
            continue
        if not any(_goes_on(facts, r) for r in rows):
            row = next((r for r in rows if r.start_on >= first), rows[-1])
            before.setdefault(row.crew, set()).add(name)
    for crew in {p.crew for p in facts.known}:
        may = max(most - len(before.get(crew, ())), 0)
        mine = [p for p in facts.known if p.crew == crew and p.parts]
        for cell in facts.plan.horizon.cells:
            names = [
                p.stage for p in mine if min(p.cells) < cell < max(p.cells) and cell not in p.cells
            ]
            away = [n for n in names if not _inside(mine, n, cell)]
            if len(away) > may:
                told = ", ".join(away)
                at = facts.at(cell)
                yield f"open jobs: crew {crew} has left {told} open on {at}, it may {may} more"
                break


def _inside(placements: list[Placement], stage: str, cell: int) -> bool:
    """Whether a half-day that is not worked lies within one part: a day off, not a break."""
    parts = next(p.parts for p in placements if p.stage == stage)
    return any(min(part.cells) < cell < max(part.cells) for part in parts)
