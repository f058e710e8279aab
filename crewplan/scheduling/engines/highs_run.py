"""One run of HiGHS, a branch-and-cut solver, over a whole problem."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import highspy
import numpy as np

from crewplan.scheduling.engines.interface import EngineResult, settle, whole_bound
from crewplan.scheduling.selection import NO_LOWER, Picked, Selection
from crewplan.scheduling.stop import Stop

_PROBING = 1 << 15
"""Presolve's rule of that name in HiGHS 1.16, as its option to turn rules off counts them."""
_WHOLE_CENTS = 0.999
"""Prices are whole: a plan within this of the bound is the best."""


class Quiet(highspy.Highs):
    """Without the callbacks: setting them up prints a banner, before output can be turned off."""

    def __init__(self) -> None:
        """A solver with nothing in it."""
        super(highspy.Highs, self).__init__()
        self.setOptionValue("output_flag", False)


def model(selection: Selection, *, in_part: bool = False) -> highspy.HighsLp:
    """The whole problem, passed in one go, by rows; `in_part`: columns may be picked in part."""
    rows, columns = selection.matrix.shape
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = columns, rows
    lp.col_cost_ = selection.cost.astype(np.float64)
    lp.offset_ = float(selection.constant)
    lp.col_lower_ = np.zeros(columns)
    lp.col_upper_ = np.ones(columns)
    lower = selection.lower.astype(np.float64)
    lower[selection.lower == NO_LOWER] = -highspy.kHighsInf
    lp.row_lower_ = lower
    lp.row_upper_ = selection.upper.astype(np.float64)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = selection.matrix.indptr
    lp.a_matrix_.index_ = selection.matrix.indices
    lp.a_matrix_.value_ = selection.matrix.data.astype(np.float64)
    if not in_part:
        lp.integrality_ = [highspy.HighsVarType.kInteger] * columns
    return lp


def set_options(solver: highspy.Highs, stop: Stop) -> None:
    """Hand the stop over."""
    # Threads belong to the process: without the reset a second run with another number fails.
    highspy.Highs.resetGlobalScheduler(True)
    options: dict[str, bool | int | float] = {
        "threads": stop.workers,
        "random_seed": stop.seed,
        # The gap is looked at from outside (`_listen`): told of it and of a start that is good
        # enough for it, 1.16 took a minute before its first relaxation of 50,000 columns, else 5 s.
        "mip_rel_gap": 0.0,
        "mip_abs_gap": _WHOLE_CENTS,
        # Restarts doubled the time to a 0.2 % gap on weeks of 12 crews and 60 stages.
        "mip_allow_restart": False,
    }
    if stop.seconds is not None:
        options["time_limit"] = stop.seconds
    if stop.steps is not None:
        options["mip_max_nodes"] = stop.steps
    for name, value in options.items():
        solver.setOptionValue(name, value)


@dataclass(frozen=True, slots=True, eq=False)
class Watch:
    """Hears what a run finds while it runs."""

    picked: Callable[[Picked], object]
    """A better choice; not checked yet."""
    bound: Callable[[float], object] | None = None
    """A better bound; None: it says nothing about the whole problem."""


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    picked: Picked | None
    told: float
    """The price that the solver names for it."""
    bound: float
    seconds: float
    nodes: int


def _listen(solver: highspy.Highs, watch: Watch | None, gap: float) -> None:
    """End the run at the gap, and tell who watches; output is off by now, or this would print."""
    kinds = highspy.cb.HighsCallbackType
    newest = -math.inf

    def hear(kind: object, _: str, told: Any, wish: Any, __: object) -> None:
        nonlocal newest
        if watch is not None and kind == kinds.kCallbackMipImprovingSolution:
            watch.picked(np.asarray(told.mip_solution) > 0.5)
            return
        bound, price = told.mip_dual_bound, told.mip_primal_bound
        if watch is not None and watch.bound is not None and newest < bound < math.inf:
            newest = bound
            watch.bound(bound)
        if math.isfinite(price) and price - bound <= gap * abs(price):
            wish.user_interrupt = True

    super(highspy.Highs, solver).setCallback(hear, None)
    if watch is not None:
        solver.startCallback(kinds.kCallbackMipImprovingSolution)
    solver.startCallback(kinds.kCallbackMipInterrupt)


def _run(
    selection: Selection,
    start: Picked | None,
    stop: Stop,
    watch: Watch | None = None,
    *,
    probe: bool = True,
) -> _Run:
    columns = len(selection.cost)
    solver = Quiet()
    set_options(solver, stop)
    if not probe:
        solver.setOptionValue("presolve_rule_off", _PROBING)
    _listen(solver, watch, stop.gap)
    solver.passModel(model(selection))
    if start is not None:
        solver.setSolution(columns, np.arange(columns, dtype=np.int32), start.astype(np.float64))
    solver.run()
    info = solver.getInfo()
    picked: Picked | None = None
    # A time limit without a choice still fills the values: only the status tells.
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        picked = np.asarray(solver.getSolution().col_value) > 0.5
    return _Run(
        picked,
        info.objective_function_value,
        info.mip_dual_bound,
        float(solver.getRunTime()),
        max(0, int(info.mip_node_count)),
    )


def _lost(selection: Selection, run: _Run) -> bool:
    """Whether the solver names a lower price than that of the choice it hands over.

    Seen with 1.16: presolve turns the start into a better choice and proves it the best, and the
    start itself is handed over.
    """
    return run.picked is not None and selection.price(run.picked) > run.told + 0.5


def at_once(
    selection: Selection,
    start: Picked | None,
    stop: Stop,
    watch: Watch | None = None,
    *,
    probe: bool = True,
) -> EngineResult:
    """Solve the whole problem in one run.

    `probe`: first try out what follows from each column. In small parts of a week that took six
    times as long as all the rest (DEVELOPERS.md, 'Re-plan').

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if len(selection.cost) == 0:
        return settle(selection, np.zeros(0, dtype=np.bool_), None, selection.constant)
    run = _run(selection, start, stop, watch, probe=probe)
    bound, nodes = run.bound, run.nodes
    if start is not None and _lost(selection, run):
        left = None if stop.seconds is None else max(0.0, stop.seconds - run.seconds)
        run = _run(selection, None, replace(stop, seconds=left), watch, probe=probe)
        bound, nodes = max(bound, run.bound), nodes + run.nodes
    return settle(selection, start, run.picked, whole_bound(bound), nodes)
