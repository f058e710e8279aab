"""Who is lent to which crew on which day, in words, and which crews have to hear of it."""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Any

from crewplan.model.branch import Branch
from crewplan.model.lent import LentChange, LentDay
from crewplan.model.placement import Placement
from crewplan.model.plan import Plan
from crewplan.scheduling.lent_days import lent_days


def terminal_day(day: date) -> str:
    """'Tue 2026-05-05', for texts in no locale."""
    return f"{day:%a %Y-%m-%d}"


def lent_lines(branch: Branch, plan: Plan) -> tuple[str, ...]:
    """A line a person, day and crew, by day; and which stages of their own crew do without them."""
    return tuple(
        f"{terminal_day(one.day)}: {one.person} of crew {one.home} goes "
        f"with crew {one.crew} ({', '.join(one.stages)})"
        + (f"; {', '.join(one.without)} goes on without" if one.without else "")
        for one in lent_days(branch.people, plan)
    )


def lent_of(branch: Branch, placement: Placement) -> tuple[tuple[str, str], ...]:
    """For the sheet of a visit: a label and who comes from which crew, or is with another."""
    home = {person.person: person.crew for person in branch.people}
    joined = ", ".join(f"{name} (crew {home.get(name, '')})" for name in placement.joined)
    found = (("Lent to the crew", joined), ("Lent to others", ", ".join(placement.lent_away)))
    return tuple((label, who) for label, who in found if who)


def come_and_gone(
    lent: Iterable[LentDay], day: date, crew: str, stage: str = ""
) -> tuple[tuple[LentDay, ...], tuple[LentDay, ...]]:
    """For a crew's visit: who comes along, and who of the crew goes with another that day.

    Args:
        lent: of any days and crews.
        day: of the visit.
        crew: whose it is.
        stage: what it is for; empty: the crew stays at home.
    """
    here = [one for one in lent if one.day == day]
    come = tuple(one for one in here if one.crew == crew and stage in one.stages)
    return come, tuple(one for one in here if one.home == crew)


def lent_of_visit(
    lent: Iterable[LentDay], day: date, crew: str, stage: str = ""
) -> tuple[str, ...]:
    """A sentence for each of `come_and_gone`."""
    come, gone = come_and_gone(lent, day, crew, stage)
    return (
        *(f"{one.person} of crew {one.home} comes along: lent for the day." for one in come),
        *(f"{one.person} goes with crew {one.crew} that day." for one in gone),
    )


def change_words(change: LentChange) -> str:
    """'Bo of crew North goes with crew South', or how it ends or is another crew."""
    who = f"{change.person} of crew {change.home}"
    if change.after == change.home:
        return f"{who} stays there, and does not go with crew {change.before}"
    if change.before == change.home:
        return f"{who} goes with crew {change.after}"
    return f"{who} goes with crew {change.after} in place of crew {change.before}"


def crews_to_hear(
    branch: Branch, changes: Sequence[LentChange], day_words: Callable[[date], str]
) -> list[tuple[str, str, str]]:
    """Each crew once: it and who leads it, their telephone, and what changes for it."""
    found: dict[str, list[str]] = {}
    for change in changes:
        for crew in change.crews:
            found.setdefault(crew, []).append(f"{day_words(change.day)}: {change_words(change)}")
    leads = {row.crew: row for row in reversed(branch.people) if row.role == "lead"}
    return [
        (
            f"Crew {crew}" + (f" ({leads[crew].person})" if crew in leads else ""),
            leads[crew].phone if crew in leads else "",
            "; ".join(told),
        )
        for crew, told in found.items()
    ]


def changes_text(branch: Branch, changes: Sequence[LentChange]) -> list[str]:
    """Lines for a terminal; empty: nothing changes."""
    if not changes:
        return []
    told = [
        f"  {name}{f', {phone}' if phone else ''}: {what}"
        for name, phone, what in crews_to_hear(branch, changes, terminal_day)
    ]
    return ["Crews to be told of people lent, if it is published like this:", *told]


def change_json(change: LentChange) -> dict[str, Any]:
    """`before` and `after` are the crew that the person goes with; null: their own."""
    return {
        "day": change.day.isoformat(),
        "person": change.person,
        "crew": change.home,
        "before": None if change.before == change.home else change.before,
        "after": None if change.after == change.home else change.after,
    }
