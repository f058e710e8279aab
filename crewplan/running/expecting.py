"""What a plan expects of its placements, to be kept when it is published."""

from crewplan.model.calendar import half_day_bounds
from crewplan.model.expected import Expectation
from crewplan.running.week import Week


def expectations(week: Week) -> tuple[Expectation, ...]:
    """One a placement, in the plan's order."""
    horizon, settings = week.plan.horizon, week.branch.settings
    found = []
    for planned in week.plan.planned:
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
                exposed=week.hours[one.stage].exposed,
                p_go=one.p_go,
                p_finish=one.p_finish,
                p_ready=one.p_ready,
                lost_h=one.lost_h,
            )
        )
    return tuple(found)
