"""Days and half-days: working days, the customer's days, one place at a time, order."""

from collections.abc import Iterator
from datetime import date

from crewplan.model.calendar import (
    half_day_bounds,
    is_working_day,
    local_day,
    next_working_day,
    working_days,
)
from crewplan.model.job_rows import Job
from crewplan.model.placement import Placement
from crewplan.scheduling.checker.facts import Facts

_SHORT_KINDS = ("inspection", "commissioning", "return")


def _customer_allows(job: Job, day: date) -> bool:
    spans = job.customer_days
    return not spans or any(first <= day <= last for first, last in spans)


def usable(facts: Facts, placement: Placement, cell: int) -> bool:
    """Whether the crew could be at the job in a half-day of the horizon."""
    day = facts.plan.horizon.day_of(cell)
    there = bool(facts.there(placement.crew, day))
    return there and _customer_allows(facts.job(placement), day)


def on_working_days(facts: Facts) -> Iterator[str]:
    """No day off, no day that the customer shuts, and no half-day jumped over without need."""
    settings = facts.branch.settings
    for placement in facts.known:
        job = facts.job(placement)
        for day in facts.days(placement):
            if not is_working_day(settings, day):
                yield f"day off: {placement.stage} works on {day}"
            elif not facts.at_work(placement, day):
                yield f"day off: the whole crew {placement.crew} is away on {day}"
            elif not _customer_allows(job, day):
                yield f"customer's days: {placement.stage} works on {day}"
        runs = [part.cells for part in placement.parts] or [placement.cells]
        for cell in (c for run in runs for c in range(min(run), max(run))):
            if cell not in placement.cells and usable(facts, placement, cell):
                yield f"half-days: {placement.stage} jumps over {facts.at(cell)}"
        if facts.first_day(placement) < job.earliest_on:
            yield f"too early: {placement.stage} starts before {job.earliest_on}"
        if tuple(sorted(set(placement.cells))) != placement.cells:
            yield f"half-days: those of {placement.stage} are out of order"


def not_begun(facts: Facts) -> Iterator[str]:
    """Nothing new starts in a half-day that has begun already."""
    settings, horizon = facts.branch.settings, facts.plan.horizon
    published = {(row.stage, row.start_on) for row in facts.branch.plan}
    for placement in facts.known:
        day = facts.first_day(placement)
        begins = half_day_bounds(settings, day)[horizon.half_of(min(placement.cells)) == "pm"][0]
        if begins < facts.now and (placement.stage, day) not in published:
            yield f"too early: {facts.at(min(placement.cells))} of {placement.stage} has begun"


def one_place_at_a_time(facts: Facts) -> Iterator[str]:
    """A crew shares a half-day between short visits only, as far as their time goes."""
    held: dict[tuple[str, int], list[int]] = {}
    for number, placement in enumerate(facts.known):
        for cell in placement.cells:
            held.setdefault((placement.crew, cell), []).append(number)
        if placement.short_h is not None and (
            len(placement.cells) > 1 or facts.stages[placement.stage].kind not in _SHORT_KINDS
        ):
            yield f"overlap: {placement.stage} is no short visit"
    for (crew, cell), numbers in held.items():
        visits = [facts.known[number] for number in numbers]
        names = ", ".join(visit.stage for visit in visits)
        if len(visits) > 1 and any(visit.short_h is None for visit in visits):
            yield f"overlap: crew {crew} is at {names} on {facts.at(cell)}"
            continue
        start, end = half_day_bounds(facts.branch.settings, facts.plan.horizon.day_of(cell))[
            cell % 2
        ]
        hours = sum(visit.short_h or 0.0 for visit in visits)
        if hours > (end - start).total_seconds() / 3600 + 1e-6:
            yield f"overlap: {names} take crew {crew} {hours:.1f} h on {facts.at(cell)}"


def in_order(facts: Facts) -> Iterator[str]:
    """Each stage after those before it, and whole days later where asked."""
    placed = {p.stage: p for p in facts.known}
    for stage, placement in placed.items():
        row = facts.stages[stage]
        for before in row.after:
            if facts.hours[before].done:
                continue
            if before not in placed:
                yield f"wrong order: {stage} is placed, {before} before it is not"
                continue
            ended = max(placed[before].cells)
            between = (facts.first_day(placement) - facts.plan.horizon.day_of(ended)).days
            if ended >= min(placement.cells):
                yield f"wrong order: {stage} starts before {before} has ended"
            elif row.gap_days and between <= row.gap_days:
                yield f"wrong order: {stage} starts {between} days after {before}, too soon"


def notice_given(facts: Facts) -> Iterator[str]:
    """An inspection leaves its authority the notice that it asks for."""
    settings = facts.branch.settings
    asked = {row.authority: row.notice_days for row in facts.branch.authorities}
    published = {(row.stage, row.start_on) for row in facts.branch.plan}
    tomorrow = next_working_day(settings, local_day(settings, facts.now))
    for placement in facts.known:
        notice = asked.get(facts.job(placement).authority, 0)
        day = facts.first_day(placement)
        if facts.stages[placement.stage].kind != "inspection" or not notice:
            continue
        first = working_days(settings, tomorrow, notice)[-1]
        if day < first and (placement.stage, day) not in published:
            yield f"notice: {placement.stage} is inspected on {day}, before {first}"
