"""Who goes, where and when, and the hours by step."""

from collections.abc import Iterator
from datetime import date
from itertools import pairwise

from crewplan.model.calendar import half_day_bounds
from crewplan.model.hours import StepHours
from crewplan.model.work_rows import Exposure
from crewplan.publishing.crew_sheet.blocks import Block, Grid, Pairs, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.day_words import day_words, long_day_words
from crewplan.publishing.lent_words import lent_of
from crewplan.publishing.plan_text import reason_text
from crewplan.publishing.waiting_words import plain, waiting_words

WHERE: dict[Exposure, str] = {"ground": "ground", "roof": "roof", "lift": "roof, lift"}


def title(facts: SheetFacts) -> str:
    """The day first: 'Monday 4 May 2026: roof J01-roof, crew Alder, at Abel Ambleroth'."""
    when = long_day_words(facts.days[0]) if facts.days else "No day"
    crew = f", crew {facts.planned.placement.crew}" if facts.planned else ""
    whose = facts.job.customer or facts.job.job
    return f"{when}: {facts.stage.kind} {facts.stage.stage}{crew}, at {whose}"


def short_title(facts: SheetFacts) -> str:
    """'Mon 4 May: J27-roof, Alder'."""
    when = day_words(facts.days[0]) if facts.days else "No day"
    crew = f", {facts.planned.placement.crew}" if facts.planned else ""
    return f"{when}: {facts.stage.stage}{crew}"


def banner(facts: SheetFacts) -> tuple[str, ...]:
    """What must stand on top of everything else."""
    told = []
    if facts.state == "not placed":
        told.append(
            f"NOT PLACED: the plan of {day_words(facts.horizon.days[0])} to"
            f" {day_words(facts.horizon.days[-1])} has no day and no crew for this stage. Do not go"
            " by this sheet."
        )
        reasons = facts.unplaced.reasons if facts.unplaced else ()
        told += [f"Why: {reason_text(reason)}." for reason in reasons]
    elif facts.state == "done":
        told.append("NOT PLACED: this stage is done; nothing is left to do.")
    elif facts.state == "pencilled" and facts.planned is not None:
        rows = {row.kind: row for row in facts.branch.requirements if row.job == facts.job.job}
        waits = "; ".join(
            what if ": " in what else waiting_words(what, rows.get(what))
            for what in facts.planned.waits_for  # a kind, or a sentence on what the kit lacks
        )
        told.append(
            "PENCILLED, not firm: "
            + (waits or "not everything is in hand")
            + ". Ask the office before you go."
        )
    if facts.branch.settings.invented:
        told.append("Everything in this folder is invented.")
    return tuple(told)


def _time_words(facts: SheetFacts, day: date) -> str:
    """'Mon 4 May: am and pm, 07:00 to 16:00, break 11:15 to 11:45'."""
    am, pm = half_day_bounds(facts.branch.settings, day)
    halves = facts.halves(day)
    if len(halves) == 2:
        words = f"am and pm, {am[0]:%H:%M} to {pm[1]:%H:%M}"
        if am[1] < pm[0]:
            words += f", break {am[1]:%H:%M} to {pm[0]:%H:%M}"
    else:
        start, end = pm if halves == ("pm",) else am
        words = f"{halves[0]}, {start:%H:%M} to {end:%H:%M}"
    return f"{day_words(day)}: {words}"


def _parts(facts: SheetFacts) -> Iterator[tuple[str, str]]:
    """Where the crew leaves the job open and comes back."""
    parts = () if facts.planned is None else facts.planned.placement.parts
    for number, (part, after) in enumerate(pairwise(parts), start=1):
        left, back = (facts.horizon.day_of(c) for c in (part.cells[-1], after.cells[0]))
        half = facts.horizon.half_of(after.cells[0])
        yield (
            f"Part {number} of {len(parts)}",
            f"ends on {day_words(left)}; back on {day_words(back)} {half}. Before the crew leaves: "
            "every penetration flashed, every module that is set clamped, nothing loose on the "
            "roof. Set up again on the way back up.",
        )


def _when(facts: SheetFacts) -> Iterator[tuple[str, str]]:
    if not facts.days:
        yield "When", "not placed"
    else:
        yield "When", "; ".join(_time_words(facts, day) for day in facts.days)
    if facts.planned is not None and facts.planned.placement.overtime_h > 0:
        hours = f"{facts.planned.placement.overtime_h:.1f} person-hours expected after the shift"
        yield "Overtime", f"{hours}; no window of this sheet covers them: no lift then"
    if facts.planned is not None and facts.planned.placement.with_visit:
        yield "Same half-day", f"one drive with {facts.planned.placement.with_visit}"
    yield from _parts(facts)
    if facts.drive_h is not None:
        minutes = round(facts.drive_h * 60)
        yield "Drive", f"about {minutes} min each way, inside these hours"
    yield "Promised by", day_words(facts.job.due_on)


def _where(facts: SheetFacts) -> Iterator[tuple[str, str]]:
    job = facts.job
    yield "Job", f"{job.job}, {job.customer}" if job.customer else job.job
    yield "Address", job.address
    yield "Place", f"{job.latitude:.5f}, {job.longitude:.5f}"
    yield "On site", ", ".join(word for word in (job.contact, job.phone) if word)
    yield "Access", job.access_note
    yield "Storeys", str(job.storeys)
    yield "Modules go up by", plain(job.lift_method) if facts.stage.kind == "roof" else ""
    yield "Equipment", ", ".join(map(plain, facts.stage.equipment))
    yield "Authority, utility", ", ".join(word for word in (job.authority, job.utility) if word)


def who_where_when(facts: SheetFacts) -> Section:
    """The first section."""
    placed: list[tuple[str, str]] = [("State", facts.state)]
    if facts.planned is not None:
        placed += [("Crew", facts.planned.placement.crew), ("Lead", facts.planned.placement.lead)]
        placed += lent_of(facts.branch, facts.planned.placement)
    pairs = (*placed, *_when(facts), *_where(facts))
    blocks: list[Block] = [Pairs(tuple((name, words) for name, words in pairs if words))]
    if facts.people:
        held = {
            person.person: ", ".join(
                plain(row.certificate)
                for row in facts.branch.certificates
                if row.person == person.person
                and (row.expires_on is None or row.expires_on >= facts.days[-1])
            )
            for person in facts.people
        }
        rows = tuple(
            (person.person, person.role, person.phone, held[person.person])
            for person in facts.people
        )
        columns = ("Who goes", "As", "Phone", "Certificates that last")
        blocks.append(Grid(columns, rows, (0.3, 0.15, 0.2, 0.35)))
    if facts.stage.certificates:
        asked = ", ".join(map(plain, facts.stage.certificates))
        blocks.append(Words(f"Certificates asked for: {asked}; somebody there holds each."))
    return Section("Who, where, when", tuple(blocks))


def _step_row(step: StepHours) -> tuple[str, ...]:
    after = ", ".join(map(plain, step.after))
    return plain(step.step), WHERE[step.exposure], f"{step.p50_h:.1f}", f"{step.min_people}", after


def hours_by_step(facts: SheetFacts) -> Section:
    """What is left of the stage."""
    hours = facts.hours
    if not hours.steps:
        return Section("Hours by step", (Words("No hours are left, or none are known."),))
    total = ("all", "", f"{hours.p50_h:.1f}", "", "")
    grid = Grid(
        ("Step", "Where", "Person-hours", "People at least", "After"),
        (*map(_step_row, hours.steps), total),
        (0.27, 0.13, 0.14, 0.14, 0.32),
        figures=(2, 3),
    )
    words = (
        f"Half of such stages take more than {hours.p50_h:.1f} person-hours; eight of ten take"
        f" less than {hours.p80_h:.1f}, nine of ten less than {hours.p90_h:.1f}."
    )
    if hours.begun:
        words += " Work has begun: these are the hours that are left."
    return Section("Hours by step", (grid, Words(words)))
