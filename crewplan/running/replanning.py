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
    left_of,
    repair,
)

SOON_SEARCHED = 20_000
"""Placements up to which the whole is searched anyway: 12 crews with 60 stages take a second."""
_GAP = 0.0005
"""Of the search after it: finer than a week's own."""
_GAP_LARGE = 0.003
"""After a large event, for which somebody waits. On the one measured the first good plan was
this near to its bound, and none better was found in 40 s (DEVELOPERS.md, 'Re-plan')."""
_A_REPAIR = Stop(seconds=10.0, steps=100)
"""Of each small problem (assumed). The usual one is solved in a tenth of a second and a few nodes,
so that the answer of a local event does not hang on the clock."""


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
    gap: float | None,
    thorough: bool | None,
    process: SolverProcess,
) -> tuple[Plan, tuple[str, ...], bool]:
    """The plan, not checked yet; what lost its place; and whether all was searched."""
    left = left_of(there.choices, last)
    large = len(left.lost) > LOCAL
    if thorough is None:
        thorough = large or len(there.choices.placements) <= SOON_SEARCHED
    if thorough and large:
        # small problems got nowhere near what one search of all finds in the same time
        begin = left.keys
        process.start()  # it loads its solver while the problem is laid out here
    else:
        plan = repair(left, last, engine=engine, stop=_A_REPAIR)
        begin = frozenset(p.placement.key for p in plan.planned)
    if thorough:
        gap = gap if gap is not None else _GAP_LARGE if large else _GAP
        stop, dearer = Stop(seconds=seconds, gap=gap), elsewhere_dearer(last)
        plan = in_plain_prices(searched(there.choices, engine, stop, process, begin, dearer), last)
    return plan, left.lost, thorough


def replan(
    last: Week,
    memory: Memory,
    branch: Branch,
    clock: Clock,
    *,
    engine: EngineChoice = "auto",
    seconds: float = 20.0,
    gap: float | None = None,
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
        seconds: of the search of all, at most.
        gap: of that search, as a share of the price; None: finer after a small event.
        thorough: search the whole week, after a large event in place of the repair, else after it;
            None: unless the event is local in a large week.
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
    before = before_rows(there.choices, branch.plan)
    left = left_of(there.choices, before)
    week = there.checked(repair(left, before, engine=engine, stop=_A_REPAIR), engine)
    return Replanned(week, since_published(branch, week.plan), left.lost, False)
