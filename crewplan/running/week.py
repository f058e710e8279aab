"""From a branch to a checked plan."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

from crewplan.labour import stage_hours_all
from crewplan.model.answer import Answer
from crewplan.model.branch import Branch
from crewplan.model.calendar import frozen_days, local_day, working_days
from crewplan.model.horizon import Horizon
from crewplan.model.hours import StageHours
from crewplan.model.placement import Choices
from crewplan.model.plan import Plan
from crewplan.model.takeoff import JobTakeOff
from crewplan.placing import all_choices
from crewplan.placing.memory import Memory
from crewplan.running.all_stays import all_of_it_stays
from crewplan.running.clock import Clock
from crewplan.running.solver_process import SolverProcess
from crewplan.running.watching import NOBODY, Watch
from crewplan.scheduling import EngineChoice, Stop, refuse_broken, schedule, why
from crewplan.scheduling.clashing_pins import clashing_pins
from crewplan.scheduling.dropping import Key
from crewplan.scheduling.engines import engine as engine_named
from crewplan.scheduling.kept_out import kept_out
from crewplan.scheduling.replanning import published_keys
from crewplan.scheduling.schedule import Alter
from crewplan.scheduling.standby import standby_of_plan
from crewplan.scheduling.waiving import Asked
from crewplan.takeoff import take_off_all

GAP = 0.002
"""The solver stops once no plan can be cheaper by more than this share of the price."""
APART_FROM = 3000
"""Placements from which the solver has a process of its own also where nobody watches: smaller
problems end in their time by themselves."""
_ENDED = "the solver was ended from outside; this is the best plan that it had found by then"


@dataclass(frozen=True, slots=True, eq=False)
class Week:
    """A plan and all that it was made from."""

    branch: Branch
    clock: Clock
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]
    choices: Choices
    plan: Plan

    def why(self, stage: str, engine: EngineChoice = "auto", seconds: float = 10) -> Answer:
        """Why a stage is where it is, or why it is left out; `seconds` for each plan made anew."""
        asked = Asked(self.branch, self.choices, self.takeoffs, self.hours, self.clock.now)
        stop = Stop(seconds=seconds, gap=GAP)
        kept = kept_out(asked, self.plan, stage, engine=engine, stop=stop)
        clash = self.plan.pin_clash
        return replace(
            why(self.choices, self.plan, stage),
            kept_out=kept,
            pin_clash=clash if clash is not None and stage in clash.stages else None,
        )


def horizon_of(
    branch: Branch, clock: Clock, first: date | None, days: int, *, publishing: bool = False
) -> Horizon:
    """`days` working days from `first`, or from the day after today.

    Without a published plan nothing is frozen; but a plan made to be published is held to what its
    first days will be as soon as it is: nothing starts on them that is not in hand.
    """
    today = local_day(branch.settings, clock.now)
    start = first or today + timedelta(days=1)
    freezes = publishing or "plan" in branch.present
    frozen = frozen_days(branch.settings, clock.now) if freezes else frozenset()
    return Horizon(working_days(branch.settings, start, days), frozen)


def plan_week(
    branch: Branch,
    clock: Clock,
    *,
    first: date | None = None,
    days: int = 10,
    engine: EngineChoice = "auto",
    seconds: float = 10,
    alter: Callable[[Choices], Choices] = lambda choices: choices,
    publishing: bool = False,
    stop: Stop | None = None,
    watch: Watch = NOBODY,
    memory: Memory | None = None,
) -> Week:
    """Plan `days` working days; the checker passes the plan before anybody sees it.

    Args:
        branch: the tables.
        clock: its time is when the plan is made.
        first: the first day planned; else the day after today.
        days: working days planned.
        engine: which solver.
        seconds: its longest time.
        alter: may take choices away and change prices, for a question of the kind 'what if'.
        publishing: see `horizon_of`.
        stop: when the solver stops, in place of `seconds`.
        watch: hears how the search goes, and may end it with the best plan so far.
        memory: what the last look placed; what this one did, afterwards.

    Raises:
        PlanRejected: where the checker does not.
    """
    with SolverProcess(watch) as process:
        if watch is not NOBODY:
            process.start()  # it loads its solver while placing is done here
        horizon = horizon_of(branch, clock, first, days, publishing=publishing)
        there = offered(branch, clock, horizon, memory)
        there = replace(there, choices=alter(there.choices))
        begin = published_keys(there.choices, branch.plan)
        stop = stop or Stop(seconds=seconds, gap=GAP)
        return there.checked(searched(there.choices, engine, stop, process, begin), engine)


@dataclass(frozen=True, slots=True, eq=False)
class Offered:
    """All that a plan of a branch can be made from."""

    branch: Branch
    clock: Clock
    takeoffs: Mapping[str, JobTakeOff]
    hours: Mapping[str, StageHours]
    choices: Choices

    def checked(self, plan: Plan, engine: EngineChoice = "auto") -> Week:
        """With all that stands beside a plan, once the checker has passed it.

        Raises:
            PlanRejected: where the checker does not.
        """
        plan = replace(plan, pin_clash=clashing_pins(self.choices, engine, plan))
        standby = standby_of_plan(self.branch, self.choices, plan, self.hours)
        return self.checked_alone(replace(plan, standby=standby))

    def checked_alone(self, plan: Plan) -> Week:
        """As `checked`, with nothing beside the plan."""
        refuse_broken(self.branch, self.choices, plan, self.clock.now)
        return Week(self.branch, self.clock, self.takeoffs, self.hours, self.choices, plan)


@all_of_it_stays()
def offered(
    branch: Branch, clock: Clock, horizon: Horizon, memory: Memory | None = None
) -> Offered:
    """Everything that could be done in the days of the horizon.

    `memory`: of the last look at nearly the same branch; of this one afterwards.
    """
    takeoffs = take_off_all(branch)
    hours = stage_hours_all(branch, takeoffs, local_day(branch.settings, clock.now))
    choices = all_choices(branch, horizon, takeoffs, hours, clock.now, memory)
    return Offered(branch, clock, takeoffs, hours, choices)


def searched(
    choices: Choices,
    engine: EngineChoice,
    stop: Stop,
    process: SolverProcess,
    begin: Collection[Key] = (),
    alter: Alter | None = None,
) -> Plan:
    """The cheapest plan that is found, not checked yet.

    `begin`: an earlier plan to start from; `alter`: prices to search by, if not the plan's own.
    """
    # without a clock there is no time to hold, and no process is worth its start
    apart = process.pid is not None or (
        stop.seconds is not None and len(choices.placements) >= APART_FROM
    )
    solver = process.engine if apart else engine_named
    prices = {} if alter is None else {"alter": alter}
    plan = schedule(choices, engine=engine, stop=stop, solver=solver, begin=begin, **prices)
    if process.ended_by == "itself":
        plan = replace(plan, notes=(*plan.notes, _ENDED))
    return plan
