"""What a plan expects of its placements, to be kept when it is published."""

from collections.abc import Mapping

from crewplan.model.calendar import half_day_bounds
from crewplan.model.expected import Expectation
from crewplan.model.hours import StageHours
from crewplan.model.plan import Plan
from crewplan.model.settings import Settings


def expectations(
    plan: Plan, settings: Settings, hours: Mapping[str, StageHours]
) -> tuple[Expectation, ...]:
    """One a placement, in the plan's order; `hours` by stage."""
    horizon = plan.horizon
    found = []
    for planned in plan.planned:
        one = planned.placement
        days = tuple(dict.fromkeys(horizon.day_of(cell) for cell in one.cells))
        half = half_day_bounds(settings, days[0])[horizon.half_of(one.start) == "pm"]
        found.append(
            Expectation(
                stage=one.stage,
                job=planned.job,
                crew=one.crew,
                days=days,
                starts_at=half[0],
                exposed=hours[one.stage].exposed,
                p_go=one.p_go,
                p_finish=one.p_finish,
                p_ready=one.p_ready,
                lost_h=one.lost_h,
            )
        )
    return tuple(found)
