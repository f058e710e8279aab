"""The part of the price for the worst weathers, held to what the tables allow."""

from collections.abc import Iterator

from crewplan.model.calendar import half_day_bounds
from crewplan.scheduling.checker.facts import Facts


def worst_weathers_within_reason(facts: Facts) -> Iterator[str]:
    """None without its weight; no more than if the worst tenth did nothing at all and came again.

    Half-days are counted whole, drives included: it can only be too kind.
    """
    settings = facts.branch.settings
    for placement in facts.known:
        told = placement.cost.get("worst weathers", 0)
        if not told:
            continue
        most, again = 0.0, 0.0
        for cell in placement.cells:
            day = facts.plan.horizon.day_of(cell)
            begin, end = half_day_bounds(settings, day)[cell % 2]
            hours = (end - begin).total_seconds() / 3600 + settings.overtime_max_h
            most += hours * sum(p.cost_per_h for p in facts.there(placement.crew, day))
        for day in facts.plan.horizon.days:
            dear = sum(p.cost_per_h for p in facts.there(placement.crew, day))
            again = max(again, settings.shift_h * dear)
        limit = 100 * settings.worst_weather_weight * (most + again)
        if not 0 <= told <= limit + 0.5:
            yield f"price: {placement.stage} carries {told} cents for the worst weathers"
