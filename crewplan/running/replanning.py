"""Planning again after an event, from a look that was kept: quick, and with few moves."""

from dataclasses import dataclass
from datetime import date

from crewplan.model.branch import Branch
from crewplan.model.plan import Plan
from crewplan.model.whatif import Move
from crewplan.placing.memory import Memory
from crewplan.running.all_stays import all_of_it_stays
from crewplan.running.clock import Clock
from crewplan.running.since_published import since_published
from crewplan.running.solver_process import SolverProcess
from crewplan.running.watching import NOBODY, Watch
from crewplan.running.week import Offered, Week, horizon_of, offered, searched
from crewplan.scheduling import EngineChoice, Stop
from crewplan.scheduling.comparing import moves_between, slots
from crewplan.scheduling.replanning import (
    LOCAL,
    Before,
    before_plan,
    before_rows,
    elsewhere_dearer,
    in_plain_prices,
    repair,
)

SOON_SEARCHED = 20_000
"""Placements up to which the whole is searched anyway: 12 crews with 60 stages take a second."""
_GAP = 0.0005
"""Of the search after it: finer than a week's own."""
_A_REPAIR = Stop(seconds=2.0)
"""Of each small problem (assumed); the usual one is solved in a tenth of that."""


@dataclass(frozen=True, slots=True, eq=False)
class Replanned:
    """The week after an event."""

    week: Week
    """Checked."""
    moves: tuple[Move, ...]
    """Against the plan before: whoever stands in it must be told."""
    lost: tuple[str, ...]
    """Stages that could not stay where they were, and those that are new."""
    thorough: bool
    """Searched after the repair: its bound is one."""


def _repaired(
    there: Offered,
    last: Before,
    engine: EngineChoice,
    seconds: float,
    gap: float,
    thorough: bool | None,
    process: SolverProcess,
) -> tuple[Plan, tuple[str, ...], bool]:
    """The plan, not checked yet; what lost its place; and whether all was searched."""
    repaired = repair(there.choices, last, engine=engine, stop=_A_REPAIR)
    if thorough is None:
        small = len(there.choices.placements) <= SOON_SEARCHED
        thorough = small or len(repaired.lost) > LOCAL
    if not thorough:
        return repaired.plan, repaired.lost, False
    begin = frozenset(p.placement.key for p in repaired.plan.planned)
    near = elsewhere_dearer(there.choices, last)
    found = searched(near, engine, Stop(seconds=seconds, gap=gap), process, begin)
    return in_plain_prices(there.choices, found, last), repaired.lost, True


def replan(
    last: Week,
    memory: Memory,
    branch: Branch,
    clock: Clock,
    *,
    engine: EngineChoice = "auto",
    seconds: float = 8.0,
    gap: float = _GAP,
    thorough: bool | None = None,
    beside: bool = True,
    watch: Watch = NOBODY,
) -> Replanned:
    """Repair the last week's plan for the tables as they are now, and check it.

    Args:
        last: the week to keep to.
        memory: what placing found for it; what it finds now, afterwards.
        branch: the tables after the event.
        clock: the time of planning again.
        engine: which solver.
        seconds: of the search after the repair, at most.
        gap: of that search, as a share of the price.
        thorough: search the whole week after the repair; None: unless the event
            is local in a large week.
        beside: also standby and pins that clash.
        watch: hears of the search, and may end it.

    Raises:
        PlanRejected: where the checker does not pass it.
    """
    days = last.plan.horizon.days
    with all_of_it_stays(), SolverProcess(watch) as process:
        there = offered(branch, clock, horizon_of(branch, clock, days[0], len(days)), memory)
        before = before_plan(there.choices, last.plan)
        plan, lost, whole = _repaired(there, before, engine, seconds, gap, thorough, process)
        week = there.checked(plan, engine) if beside else there.checked_alone(plan)
    job_of = {stage.stage: stage.job for stage in branch.stages}
    moves = moves_between(slots(last.plan), slots(week.plan), job_of)
    moves = tuple(move for move in moves if move.stage not in week.plan.done)
    return Replanned(week, moves, lost, whole)


def repair_published(
    branch: Branch,
    clock: Clock,
    *,
    first: date | None = None,
    days: int = 10,
    engine: EngineChoice = "auto",
    publishing: bool = False,
) -> Replanned:
    """Keep the published plan where it still stands, and place anew only what broke or is new.

    Raises:
        PlanRejected: where the checker does not pass it.
    """
    horizon = horizon_of(branch, clock, first, days, publishing=publishing)
    there = offered(branch, clock, horizon)
    repaired = repair(
        there.choices, before_rows(there.choices, branch.plan), engine=engine, stop=_A_REPAIR
    )
    week = there.checked(repaired.plan, engine)
    return Replanned(week, since_published(branch, week.plan), repaired.lost, False)
