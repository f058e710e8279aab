"""Standby in words: what a crew does while nobody may be on the roof. No money: crews read it."""

from collections.abc import Iterable
from datetime import date

from crewplan.model.chance import whole_percent
from crewplan.model.standby import Standby
from crewplan.publishing.reader import decimal

COLUMNS = ("day", "crew", "if this stops", "chance", "then", "hours", "costs more")


def of_visit(rows: Iterable[Standby], day: date, crew: str, stage: str) -> Standby | None:
    """What stands by for one crew's visit on one day."""
    for one in rows:
        if (one.day, one.crew, one.stage) == (day, crew, stage):
            return one
    return None


def _halves(one: Standby) -> str:
    cells = () if one.placement is None else one.placement.cells
    if len(cells) != 1:
        return "all day"
    return "in the afternoon" if cells[0] % 2 else "in the morning"


def standby_words(one: Standby) -> str:
    """In one clause."""
    if one.instead == "ground work on site":
        names = ", ".join(step.replace("_", " ") for step in one.steps)
        return f"on the ground here: {names} (about {decimal(one.hours, 1)} person-hours)"
    if one.placement is None:
        return "nothing else passes the rules: ask the office"
    what = (
        f"{one.placement.stage} (job {one.job}) {_halves(one)}, about"
        f" {decimal(one.hours, 1)} person-hours"
    )
    if one.instead == "another site":
        chance = whole_percent(one.placement.p_go)
        return f"{what}; it has roof work too, chance {chance}%: only after a go of its own"
    return f"{what}, nobody on a roof"


def standby_cells(rows: Iterable[Standby]) -> list[tuple[str, ...]]:
    """For the office, with what it costs more than waiting; in the order of `COLUMNS`."""
    return [
        (
            f"{one.day:%a %Y-%m-%d}",
            one.crew,
            one.stage,
            f"{whole_percent(one.p_no_go)}%",
            standby_words(one),
            decimal(one.hours, 1),
            decimal(one.cents / 100, 2),
        )
        for one in rows
    ]
