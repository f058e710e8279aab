"""Planning one branch as a piece of work that may be done anywhere: all of it goes in as values."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.hours import StageHours
from crewplan.model.plan import Plan
from crewplan.running.clock import Clock
from crewplan.running.week import GAP, plan_week
from crewplan.scheduling import EngineChoice, Stop


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of each branch."""

    first: date | None = None
    """None: the day after today."""
    days: int = 10
    engine: EngineChoice = "auto"
    seconds: float = 10.0
    steps: int | None = None
    """In place of `seconds`: the same plan on any machine."""
    publishing: bool = False
    gap: float = GAP
    seed: int = 0

    @property
    def stop(self) -> Stop:
        """When the solver stops."""
        seconds = self.seconds if self.steps is None else None
        return Stop(seconds, self.gap, self.steps, seed=self.seed)


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """A plan that the checker passed, and the hours that it rests on, by stage."""

    plan: Plan
    hours: Mapping[str, StageHours]


def lean(branch: Branch) -> Branch:
    """Without what no plan is made from, and years of which are large."""
    return replace(branch, hours_worked=())


def plan_branch(branch: Branch, clock: Clock, asked: Asked) -> Made:
    """Plan a branch.

    Raises:
        NoWorkingDay: where the settings leave none.
        PlanRejected: where the checker does not pass it.
    """
    week = plan_week(
        branch,
        clock,
        first=asked.first,
        days=asked.days,
        engine=asked.engine,
        stop=asked.stop,
        publishing=asked.publishing,
    )
    return Made(week.plan, week.hours)
