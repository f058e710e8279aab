"""What the checks look things up in: the branch's tables by their keys, and the plan."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import cached_property

from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.hours import StageHours
from crewplan.model.job_rows import Job, Stage
from crewplan.model.people_rows import Person
from crewplan.model.placement import Choices, Placement
from crewplan.model.plan import Plan, Planned
from crewplan.model.takeoff import JobTakeOff
from crewplan.readiness import Kits
from crewplan.takeoff import take_off_all

NEAR = 1e-9
"""What two ways of adding up the same shares may differ by."""


@dataclass(frozen=True, eq=False)
class Facts:
    """A plan beside the tables that it must agree with."""

    branch: Branch
    choices: Choices
    plan: Plan
    now: datetime

    def with_planned(self, planned: tuple[Planned, ...]) -> "Facts":
        """The same tables beside other placements; what does not hang on them is not redone."""
        other = Facts(self.branch, self.choices, replace(self.plan, planned=planned), self.now)
        for name in ("stages", "jobs", "takeoffs", "hours", "kits", "lent_on"):
            other.__dict__[name] = getattr(self, name)
        return other

    def faults_of(self, checks: Iterable[Callable[["Facts"], Iterator[str]]]) -> tuple[str, ...]:
        """What these checks find."""
        return tuple(fault for check in checks for fault in check(self))

    @cached_property
    def placed(self) -> tuple[Placement, ...]:
        """All placements of the plan."""
        return tuple(planned.placement for planned in self.plan.planned)

    @cached_property
    def stages(self) -> Mapping[str, Stage]:
        """By number."""
        return {stage.stage: stage for stage in self.branch.stages}

    @cached_property
    def jobs(self) -> Mapping[str, Job]:
        """By number."""
        return {job.job: job for job in self.branch.jobs}

    @cached_property
    def known(self) -> tuple[Placement, ...]:
        """Placements of stages and crews that the tables have."""
        crews = {crew.crew for crew in self.branch.crews}
        cells = self.plan.horizon.cells
        return tuple(
            p
            for p in self.placed
            if p.stage in self.stages and p.crew in crews and p.cells and set(p.cells) <= set(cells)
        )

    @cached_property
    def takeoffs(self) -> Mapping[str, JobTakeOff]:
        """By job, worked out anew."""
        return take_off_all(self.branch)

    @cached_property
    def hours(self) -> Mapping[str, StageHours]:
        """By stage, worked out anew."""
        today = local_day(self.branch.settings, self.now)
        return stage_hours_all(self.branch, self.takeoffs, today)

    @cached_property
    def kits(self) -> Kits:
        """What stages draw, worked out anew."""
        return Kits(self.branch, self.takeoffs, self.hours)

    def stand_ins(self, stage: str) -> tuple[tuple[Mapping[str, float], float], ...]:
        """Other kits that the stage may draw, and how much dearer each is."""
        on_hand: dict[str, float] = {}
        for row in self.branch.stock:
            on_hand[row.item] = on_hand.get(row.item, 0.0) + row.on_hand
        return self.kits.stand_ins(stage, on_hand)

    def job(self, placement: Placement) -> Job:
        """Whose stage it is."""
        return self.jobs[self.stages[placement.stage].job]

    def days(self, placement: Placement) -> tuple[date, ...]:
        """Days that it works on."""
        return tuple(sorted({self.plan.horizon.day_of(cell) for cell in placement.cells}))

    def first_day(self, placement: Placement) -> date:
        """The day that it starts on."""
        return self.plan.horizon.day_of(min(placement.cells))

    def at(self, cell: int) -> str:
        """A half-day in words."""
        return f"{self.plan.horizon.day_of(cell)} {self.plan.horizon.half_of(cell)}"

    @cached_property
    def lent_on(self) -> Mapping[tuple[str, date], str]:
        """By person and day, the other crew that the plan has them with."""
        home = {person.person: person.crew for person in self.branch.people}
        return {
            (name, day): placement.crew
            for placement in self.known
            for name in placement.people
            if home.get(name) != placement.crew
            for day in self.days(placement)
        }

    def at_work(self, placement: Placement, day: date) -> tuple[Person, ...]:
        """Who does a placement on a day: the crew's own who are lent to nobody, and who joins."""
        own = self.there(placement.crew, day)
        stay = tuple(p for p in own if self.lent_on.get((p.person, day), p.crew) == p.crew)
        return stay + tuple(
            person
            for person in self.branch.people
            if person.crew != placement.crew
            and person.person in placement.people
            and person in self.there(person.crew, day)
        )

    def there(self, crew: str, day: date) -> tuple[Person, ...]:
        """People of the crew who are not away, wherever they are lent to."""
        return tuple(
            person
            for person in self.branch.people
            if person.crew == crew
            and not any(
                absence.person == person.person
                and absence.first_day <= day
                and (absence.last_day is None or day <= absence.last_day)
                for absence in self.branch.absences
            )
        )
