"""What could break a week: one short line each, with the day, the crew and what to do."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

from crewplan.model.branch import Branch
from crewplan.model.calendar import is_working_day, next_working_day
from crewplan.model.job_rows import Job, Stage
from crewplan.model.people_rows import Absence, Certificate
from crewplan.model.plan import Plan, Planned, Unplaced
from crewplan.publishing.day_words import day_words
from crewplan.publishing.reader import decimal
from crewplan.publishing.waiting_words import chase, plain, waiting_words

RiskKind = Literal["not placed", "late", "weather", "waiting", "moved", "absence", "certificate"]
RISK_KINDS: tuple[RiskKind, ...] = (
    "not placed", "late", "weather", "waiting", "moved", "absence", "certificate",
)  # fmt: skip
"""Worst first within a day: a promise already broken, then what may still go well."""


@dataclass(frozen=True, slots=True)
class Risk:
    """One thing that could break the week, or has."""

    kind: RiskKind
    stage: str
    job: str
    day: date | None
    """First day of the placement; None where the stage has none."""
    crew: str
    """Empty where nobody is placed."""
    what: str
    """One sentence."""
    todo: str
    """One sentence: what the reader can do about it."""
    chance: float | None = None
    """That it goes well, where a chance is known."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """A picked placement with the rows that it is judged by."""

    planned: Planned
    stage: Stage
    job: Job
    days: tuple[date, ...]

    @property
    def crew(self) -> str:
        return self.planned.placement.crew

    def risk(self, kind: RiskKind, what: str, todo: str, chance: float | None = None) -> Risk:
        return Risk(
            kind, self.stage.stage, self.job.job, self.days[0], self.crew, what, todo, chance
        )


def week_risks(branch: Branch, plan: Plan) -> tuple[Risk, ...]:
    """All that could break the plan: what has no day first, then by day, the worst kind first.

    A chance counts as low where it is under the one that the gate will ask for on the day
    (`gate_probability`), though it was enough to plan by.
    """
    stages = {stage.stage: stage for stage in branch.stages}
    jobs = {job.job: job for job in branch.jobs}
    published = {row.stage for row in branch.plan}
    found: list[Risk] = [
        _not_placed(unplaced, jobs[unplaced.job], unplaced.stage in published)
        for unplaced in plan.unplaced
        if unplaced.answer_is_no
    ]
    for planned in plan.planned:
        cells = planned.placement.cells
        days = tuple(dict.fromkeys(plan.horizon.day_of(cell) for cell in cells))
        seen = _Seen(planned, stages[planned.placement.stage], jobs[planned.job], days)
        found += _late(seen)
        found += _weather(branch, seen)
        found += _waiting(branch, seen)
        found += _calls(branch, seen)
        found += _moved(branch, plan, seen)
        found += _absences(branch, seen)
        found += _certificates(branch, plan, seen)
    found = list({_told(risk): risk for risk in reversed(found)}.values())
    rank = {kind: place for place, kind in enumerate(RISK_KINDS)}
    return tuple(
        sorted(
            found,
            key=lambda risk: (
                risk.day or date.min,
                rank[risk.kind],
                1.0 if risk.chance is None else risk.chance,
                risk.stage,
            ),
        )
    )


def _told(risk: Risk) -> tuple[str, ...]:
    """What makes two risks one: an absence that meets several visits of a day is told once."""
    if risk.kind == "absence":
        return (risk.kind, risk.crew, str(risk.day), risk.what)
    return (risk.kind, risk.stage, risk.what)


def _call(job: Job) -> str:
    whom = job.contact or job.customer or f"the customer of {job.job}"
    return f"call {whom}" + (f" ({job.phone})" if job.phone else "")


_UNPLACED_TODO: Mapping[str, str] = {
    "readiness": "Chase what is missing",
    "material": "Ask the supplier for an earlier day, or borrow the kit",
    "weather": "Keep ground work ready and plan again with the next forecast",
    "people": "Lend a person or a lead to a crew",
    "certificate": "Send somebody who holds it, or renew it",
    "equipment": "Hire it, or free it on another day",
    "order": "Get the stage before it done first",
    "customer": "Ask the customer for another day",
    "inspections": "Ask the authority for another slot",
    "overtime": "Allow more overtime, or another crew",
    "pin": "Look at the pinned day",
}


def _not_placed(unplaced: Unplaced, job: Job, published: bool) -> Risk:
    why = next((reason.detail for reason in unplaced.reasons), "no reason kept")
    todo = next(
        (_UNPLACED_TODO[r.kind] for r in unplaced.reasons if r.kind in _UNPLACED_TODO),
        "Find room for it",
    )
    return Risk(
        "not placed", unplaced.stage, unplaced.job, None, "",
        f"Promised by {day_words(job.due_on)}{', published before' if published else ''}: {why}.",
        f"{todo}, and {_call(job)}.",
    )  # fmt: skip


def _late(seen: _Seen) -> Iterator[Risk]:
    days = (seen.days[-1] - seen.job.due_on).days
    if days > 0:
        word = "day" if days == 1 else "days"
        yield seen.risk(
            "late",
            f"Ends {days} {word} after the promise of {day_words(seen.job.due_on)}.",
            f"Tell the customer now: {_call(seen.job)}.",
        )


def _weather(branch: Branch, seen: _Seen) -> Iterator[Risk]:
    placement = seen.planned.placement
    chance = min(placement.p_go, placement.p_finish)
    if chance >= branch.settings.gate_probability:
        return
    in_hundred = int(chance * 100)
    what = (
        f"The weather lets the work be done with a chance of {in_hundred} in 100"
        if placement.p_go <= placement.p_finish
        else f"The work is done in the planned half-days with a chance of {in_hundred} in 100"
    )
    yield seen.risk(
        "weather",
        f"{what}; about {decimal(placement.lost_h, 1)} person-hours of waiting are expected.",
        "Have ground work or another ready job at hand, and ask the gate the evening before.",
        chance,
    )


def _waiting(branch: Branch, seen: _Seen) -> Iterator[Risk]:
    if seen.planned.firm:
        return
    kinds = seen.planned.waits_for
    rows = {row.kind: row for row in branch.requirements if row.job == seen.job.job}
    if not kinds:
        yield seen.risk(
            "waiting", "Pencilled: not everything is in hand.", "Look at what the job waits for."
        )
    for kind in kinds:
        yield seen.risk(
            "waiting",
            f"Pencilled: {waiting_words(kind, rows.get(kind))}.",
            chase(kind, seen.job),
            seen.planned.placement.p_ready,
        )


def _calls(branch: Branch, seen: _Seen) -> Iterator[Risk]:
    rows = {row.kind: row for row in branch.requirements if row.job == seen.job.job}
    for kind in seen.planned.calls:
        yield seen.risk(
            "waiting",
            f"The day is published: {waiting_words(kind, rows.get(kind))}.",
            chase(kind, seen.job),
        )


def _moved(branch: Branch, plan: Plan, seen: _Seen) -> Iterator[Risk]:
    rows = sorted((r for r in branch.plan if r.stage == seen.stage.stage), key=lambda r: r.part)
    # of parts that are over, none is where it stands now
    ahead = [row for row in rows if row.start_on >= plan.horizon.days[0]]
    row = next(iter(rows[:1] if len(rows) == 1 else ahead or rows), None)
    if row is None:
        return
    start = seen.planned.placement.start
    half = plan.horizon.half_of(start)
    begun_before = row.start_on < plan.horizon.days[0]
    same_start = begun_before or (row.start_on, row.start_half) == (seen.days[0], half)
    if same_start and row.crew == seen.crew:
        return
    why = "; ".join(reason.detail for reason in seen.planned.left_its_place)
    yield seen.risk(
        "moved",
        why[:1].upper() + why[1:] + "."
        if why
        else f"Was published for {day_words(row.start_on)} {row.start_half} with {row.crew}.",
        "Tell both crews." if same_start else f"Agree the new day first: {_call(seen.job)}.",
    )


def _away(absence: Absence, day: date) -> bool:
    return absence.first_day <= day and (absence.last_day is None or day <= absence.last_day)


def _absences(branch: Branch, seen: _Seen) -> Iterator[Risk]:
    crew = {person.person for person in branch.people if person.crew == seen.crew}
    if not any(is_working_day(branch.settings, day) for day in seen.days):
        return
    after = next_working_day(branch.settings, seen.days[-1])
    for absence in branch.absences:
        if absence.person not in crew:
            continue
        reason = f" ({absence.reason})" if absence.reason else ""
        if any(_away(absence, day) for day in seen.days):
            there = ", ".join(seen.planned.placement.people)
            part = "" if all(_away(absence, day) for day in seen.days) else " on part of the days"
            yield seen.risk(
                "absence",
                f"{absence.person} is away{part}{reason}; {seen.planned.placement.lead} leads"
                f" and the people are {there}.",
                "Name a stand-in, in case somebody else drops out.",
            )
        elif _away(absence, after):
            yield seen.risk(
                "absence",
                f"{absence.person} is away{reason} from {day_words(absence.first_day)}:"
                " there is no slack after the last day.",
                "Keep the day, or name a stand-in in case the work runs over.",
            )


def _certificates(branch: Branch, plan: Plan, seen: _Seen) -> Iterator[Risk]:
    crew = {person.person for person in branch.people if person.crew == seen.crew}
    for word in seen.stage.certificates:
        held = [c for c in branch.certificates if c.certificate == word and c.person in crew]
        good = [c for c in held if c.expires_on is None or c.expires_on >= seen.days[-1]]
        last = _last_good_day(good)
        if last is not None and last < plan.horizon.days[-1]:
            who = ", ".join(sorted(c.person for c in good))
            yield seen.risk(
                "certificate",
                f"The certificate {plain(word)} of {who} runs out after {day_words(last)};"
                " nobody else of the crew holds it for longer.",
                "Keep the day, or renew it before the work can slip.",
            )


def _last_good_day(held: list[Certificate]) -> date | None:
    """The latest last good day; None where one does not run out or nobody holds any."""
    days = [c.expires_on for c in held if c.expires_on is not None]
    return max(days) if days and len(days) == len(held) else None
