"""The price of uneven hours, recounted from the tables."""

from math import ceil, floor

from crewplan.model.calendar import half_day_bounds
from crewplan.scheduling.checker.facts import Facts


def uneven_cents(facts: Facts) -> int:
    """Minutes between the crew with the most planned and the one with the least, at their price.

    Crews that nothing was offered to have no part in it. Minutes are rounded as time in a half-day
    is: what there is down, what is used up.
    """
    a_minute = round(round(facts.branch.settings.uneven_hour_cost * 100) / 60)
    if not a_minute:
        return 0
    minutes = {placement.crew: 0 for placement in facts.choices.placements}
    if len(minutes) < 2:
        return 0
    first_day = facts.plan.horizon.days[0]
    halves = half_day_bounds(facts.branch.settings, first_day)
    half_min = [floor((end - begin).total_seconds() / 60 + 1e-6) for begin, end in halves]
    for placement in facts.placed:
        if placement.crew not in minutes:
            continue
        if placement.short_h is None:
            minutes[placement.crew] += sum(half_min[cell % 2] for cell in placement.cells)
        else:
            minutes[placement.crew] += ceil(placement.short_h * 60 - 1e-6)
    return a_minute * (max(minutes.values()) - min(minutes.values()))
