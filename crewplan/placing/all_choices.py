"""Placing as the rest of the program calls it: asks readiness, the store and the weather itself."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours
from crewplan.model.open_hours import OpenHours
from crewplan.model.placement import Choices
from crewplan.model.takeoff import JobTakeOff
from crewplan.placing.choices import choices_of
from crewplan.placing.memory import Memory
from crewplan.placing.site import Known, Place
from crewplan.readiness import Kits, readiness, supply
from crewplan.readiness.first_visit import first_visits
from crewplan.weather import open_hours_all


def all_choices(
    branch: Branch,
    horizon: Horizon,
    takeoffs: Mapping[str, JobTakeOff],
    hours: Mapping[str, StageHours],
    now: datetime,
    memory: Memory | None = None,
) -> Choices:
    """Each open stage with each crew at each half-day of the horizon where it is possible.

    Args:
        branch: the folder's tables.
        horizon: at least one working day, and those of them that a published plan keeps.
        takeoffs: by job.
        hours: by stage; stages that are done are only named.
        now: the clock, timezone-aware.
        memory: of the last look at nearly the same branch; of this one afterwards.

    Raises:
        ValueError: a horizon without days.
    """

    def weather_at(hour_starts: Sequence[datetime], places: Sequence[Place]) -> list[OpenHours]:
        return open_hours_all(branch, hour_starts, now, places, purpose="planning")

    kits, store = Kits(branch, takeoffs, hours), supply(branch, local_day(branch.settings, now))
    return choices_of(
        Known(
            branch=branch,
            horizon=horizon,
            hours=hours,
            readiness=readiness(branch, hours, horizon.days, now),
            kits={stage.stage: kits.of(stage.stage) for stage in branch.stages},
            stand_ins={
                stage.stage: kits.stand_ins(stage.stage, store.on_hand) for stage in branch.stages
            },
            supply=store,
            first_visits=first_visits(branch, local_day(branch.settings, now)),
            weather_at=weather_at,
            now=now,
            layout_problems={
                job: [problem for plane in takeoff.planes for problem in plane.problems]
                for job, takeoff in takeoffs.items()
            },
        ),
        memory,
    )
