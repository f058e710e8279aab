"""All that the board shows, worked out before the board starts."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.hours_so_far import HoursSoFar, hours_so_far
from crewplan.model.lent import LentDay
from crewplan.model.limit_row import Limit
from crewplan.model.plan import Plan
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import Exposure


@dataclass(frozen=True, slots=True)
class SameHours:
    """The hours of tables that do not change."""

    sums: HoursSoFar

    def __call__(self) -> HoursSoFar:
        """What they were when the tables were read."""
        return self.sums


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class BoardView:
    """One look at a branch: its tables, the plan that the checker passed, and the gate's answers.

    The board computes none of these; it only words and draws them.
    """

    branch: Branch
    plan: Plan
    gate_day: date
    """The day that the verdicts are for: tomorrow, or the next day that is worked."""
    verdicts: tuple[DayVerdict, ...]
    """Of `gate_day`: one per exposure for each stage placed on it, and for the branch's own place
    (job and stage empty)."""
    limits: Mapping[Exposure, tuple[Limit, ...]]
    """Limits in force for an exposure, those inherited from the ones before it included."""
    takeoffs: Mapping[str, JobTakeOff]
    """By job."""
    hours: Mapping[str, StageHours]
    """By stage."""
    asked_at: datetime
    """Local, with offset: when all of this was worked out."""
    clock: Literal["now", "set by hand"]
    chances_void_after: datetime | None
    """When the forecast behind the plan is too old to plan by; None: no forecast was used."""
    lent: tuple[LentDay, ...] = ()
    """Whom the plan lends to which crew, day by day."""
    warnings: tuple[str, ...] = ()
    """One sentence each."""
    version: int = 0
    """It knows of everything in the database up to here; 0: of no database."""
    worked: Callable[[], HoursSoFar] = SameHours(hours_so_far(()))
    """Hours written down up to the moment of asking; the same object until there are others."""
