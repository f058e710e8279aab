"""All that a sheet tells, worked out before it is written."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from crewplan.model.branch import Branch
from crewplan.model.finding import MissedPart
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Module, Plane, Racking, Stage
from crewplan.model.marks import PlaneMarks
from crewplan.model.people_rows import Person
from crewplan.model.plan import Planned, Unplaced
from crewplan.model.standby import Standby
from crewplan.model.takeoff import JobTakeOff
from crewplan.model.verdict import DayVerdict
from crewplan.publishing.screen_units import UnitSystem

State = Literal["firm", "pencilled", "not placed", "done"]


@dataclass(frozen=True, slots=True, eq=False)
class SheetFacts:
    """One stage of a plan that the checker passed."""

    branch: Branch
    stage: Stage
    job: Job
    hours: StageHours
    takeoff: JobTakeOff
    marks: tuple[PlaneMarks, ...]
    horizon: Horizon
    planned: Planned | None
    unplaced: Unplaced | None
    """Neither: the stage is done."""
    verdicts: tuple[DayVerdict, ...]
    """Of each of the placement's days and each exposure that the stage still has work in."""
    lift_gust_mps: float | None
    """The lowest gust at which a lift stops; None where no limit says."""
    drive_h: float | None
    """From the crew's base, one way; None without a crew."""
    asked_at: datetime
    clock: Literal["now", "set by hand"]
    mark: str
    """What every sheet must carry where the clock was set by hand; else empty."""
    standby: tuple[Standby, ...] = ()
    """What was chosen ahead for its days, where the weather may stop it."""
    missed: tuple[MissedPart, ...] = ()
    """What was missing on the branch's roofs in so many weeks, the most often first."""
    missed_weeks: int = 0

    @property
    def state(self) -> State:
        """How sure the stage's day is."""
        if self.planned is not None:
            return "firm" if self.planned.firm else "pencilled"
        return "done" if self.unplaced is None else "not placed"

    @property
    def units(self) -> UnitSystem:
        """The reader's."""
        return self.branch.settings.units

    @property
    def planes(self) -> tuple[Plane, ...]:
        """The job's roof planes."""
        return tuple(plane for plane in self.branch.planes if plane.job == self.job.job)

    @property
    def rackings(self) -> Sequence[Racking]:
        """Kinds of rail on the job's roofs."""
        kinds = {row.racking: row for row in self.branch.racking}
        return [kinds.get(plane.racking, self.branch.racking[0]) for plane in self.planes]

    @property
    def on_roof(self) -> bool:
        """Whether anybody is sent onto the roof."""
        return self.stage.kind in ("roof", "return") or self.hours.exposed

    @property
    def people(self) -> tuple[Person, ...]:
        """Those sent, the lead first."""
        if self.planned is None:
            return ()
        placement = self.planned.placement
        sent = [row for row in self.branch.people if row.person in placement.people]
        return tuple(sorted(sent, key=lambda row: row.person != placement.lead))

    @property
    def days(self) -> tuple[date, ...]:
        """Days of the placement."""
        if self.planned is None:
            return ()
        cells = self.planned.placement.cells
        return tuple(dict.fromkeys(self.horizon.day_of(cell) for cell in cells))

    def halves(self, day: date) -> tuple[str, ...]:
        """'am', 'pm' or both of one of its days."""
        if self.planned is None:
            return ()
        cells = self.planned.placement.cells
        return tuple(self.horizon.half_of(c) for c in cells if self.horizon.day_of(c) == day)

    @property
    def modules(self) -> Sequence[Module]:
        """Kinds of module on the job's roofs."""
        kinds = {plane.module for plane in self.planes}
        return [row for row in self.branch.modules if row.module in kinds]
