"""Whom a plan lends to which crew, day by day, and how two plans differ in that."""

from collections.abc import Iterable

from crewplan.model.lent import LentChange, LentDay
from crewplan.model.people_rows import Person
from crewplan.model.plan import Plan


def lent_days(people: Iterable[Person], plan: Plan) -> tuple[LentDay, ...]:
    """One a person, day and crew that they go with, by day, person and crew."""
    home = {person.person: person.crew for person in people}
    stages: dict[tuple[int, str, str], list[str]] = {}
    without: dict[tuple[int, str], list[str]] = {}
    for placement in (planned.placement for planned in plan.planned):
        for day in placement.days:
            for person in placement.joined:
                stages.setdefault((day, person, placement.crew), []).append(placement.stage)
            for person in placement.lent_away:
                without.setdefault((day, person), []).append(placement.stage)
    return tuple(
        LentDay(
            plan.horizon.days[day],
            person,
            home.get(person, ""),
            crew,
            tuple(names),
            tuple(without.get((day, person), ())),
        )
        for (day, person, crew), names in sorted(stages.items())
    )


def lent_changes(before: Iterable[LentDay], after: Iterable[LentDay]) -> tuple[LentChange, ...]:
    """People who go with another crew than before, by day and person."""
    then = {(one.day, one.person): one for one in before}
    now = {(one.day, one.person): one for one in after}
    found = []
    for key in sorted({*then, *now}):
        was, is_now = then.get(key), now.get(key)
        home = next(one.home for one in (was, is_now) if one is not None)
        change = LentChange(*key, home, was.crew if was else home, is_now.crew if is_now else home)
        if change.before != change.after:
            found.append(change)
    return tuple(found)
