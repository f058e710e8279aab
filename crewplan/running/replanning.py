"""Planning again after an event, from a look that was kept: quick, and with few moves."""

from dataclasses import dataclass

from crewplan.model.branch import Branch
from crewplan.model.whatif import Move
from crewplan.placing.memory import Memory
from crewplan.running.clock import Clock
from crewplan.running.solver_process import SolverProcess
from crewplan.running.watching import NOBODY, Watch
from crewplan.running.week import GAP, Week, horizon_of, offered, searched
from crewplan.scheduling import EngineChoice, Stop
from crewplan.scheduling.comparing import moves_between, slots
from crewplan.scheduling.replanning import (
    LOCAL,
    elsewhere_dearer,
    in_plain_prices,
    repair,
)

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


def replan(
    last: Week,
    memory: Memory,
    branch: Branch,
    clock: Clock,
    *,
    engine: EngineChoice = "auto",
    seconds: float = 8.0,
    thorough: bool | None = None,
    beside: bool = True,
    watch: Watch = NOBODY,
) -> Replanned:
    """Repair the last week's plan for the tables as they are now, and check it.

    Args:
        last: the week to keep to.
        memory: what placing found for it.
        branch: the tables after the event.
        clock: the time of planning again.
        engine: which solver.
        seconds: of the search after the repair, at most.
        thorough: search the whole week after the repair; None: unless the event is local.
        beside: also standby and pins that clash.
        watch: hears of the search, and may end it.

    Raises:
        PlanRejected: where the checker does not pass it.
    """
    with SolverProcess(watch) as process:
        days = last.plan.horizon.days
        horizon = horizon_of(branch, clock, days[0], len(days))
        there = offered(branch, clock, horizon, memory)
        repaired = repair(there.choices, last.plan, engine=engine, stop=_A_REPAIR)
        plan = repaired.plan
        if thorough is None:
            thorough = len(repaired.lost) > LOCAL
        if thorough:
            begin = frozenset(p.placement.key for p in plan.planned)
            near = elsewhere_dearer(there.choices, last.plan)
            found = searched(near, engine, Stop(seconds=seconds, gap=GAP), process, begin)
            plan = in_plain_prices(there.choices, found, last.plan)
        week = there.checked(plan, engine) if beside else there.checked_alone(plan)
    job_of = {stage.stage: stage.job for stage in branch.stages}
    moves = moves_between(slots(last.plan), slots(week.plan), job_of)
    moves = tuple(move for move in moves if move.stage not in week.plan.done)
    return Replanned(week, moves, repaired.lost, thorough)
