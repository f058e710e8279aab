"""Overtime: within what a day may have, and paid for."""

from collections.abc import Iterator

from crewplan.scheduling.checker.facts import Facts

_DUST_H = 1e-5
_ROUNDED_CENTS = 1


def overtime_within_its_limit(facts: Facts) -> Iterator[str]:
    """No more than the settings allow on days whose afternoon is the placement's, at its rate."""
    settings = facts.branch.settings
    for placement in facts.known:
        days = facts.days(placement)
        there = {day: facts.there(placement.crew, day) for day in days}
        late = {facts.plan.horizon.day_of(cell) for cell in placement.cells if cell % 2}
        most_h = settings.overtime_max_h * sum(len(there[day]) for day in late)
        if not -_DUST_H <= placement.overtime_h <= most_h + _DUST_H:
            yield f"overtime: {placement.stage} takes {placement.overtime_h:.1f} h of {most_h:.1f}"
        if placement.overtime_h and placement.short_h is not None:
            yield f"overtime: {placement.stage} shares its half-day"
        people = [person for day in days for person in there[day]]
        mean = sum(person.cost_per_h for person in people) / max(len(people), 1)
        wanted = 100 * placement.overtime_h * mean * settings.overtime_factor
        told = placement.cost.get("overtime", 0)
        if abs(told - wanted) > _ROUNDED_CENTS:
            yield f"price: overtime of {placement.stage} costs {wanted:.0f} cents, not {told}"
