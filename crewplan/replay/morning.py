"""What is known on the evening before a working day, and what is decided then."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.plan_row import PlanRow
from crewplan.model.takeoff import JobTakeOff


@dataclass(frozen=True, slots=True, eq=False)
class Morning:
    """All that anybody may know."""

    day: date
    """The working day that is decided."""
    now: datetime
    """18 h local of the calendar day before."""
    branch: Branch
    """Jobs that are known and not finished, progress so far, the forecast, the published plan."""
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]
    begun_by: Mapping[str, str]
    """By stage that is begun and not done: the crew that was there last."""
    seed: int


@dataclass(frozen=True, slots=True)
class Orders:
    """What crews are told, and what was published."""

    visits: Mapping[str, tuple[str, ...]]
    """By crew: stages in order; a crew without any is stood down, or has nothing to do."""
    plan: tuple[PlanRow, ...] = field(default=())
    """As it stands from now on; policies without one publish nothing."""
    left_at_noon: frozenset[str] = frozenset()
    """Stages that the crew leaves open at midday."""
