"""HiGHS, a branch-and-cut solver: the stronger one where rows are mostly 'one of these'."""

from dataclasses import dataclass, replace

import highspy
import numpy as np

from crewplan.scheduling.engines.interface import EngineResult, settle, whole_bound
from crewplan.scheduling.selection import NO_LOWER, Picked, Selection
from crewplan.scheduling.stop import Stop

_WHOLE_CENTS = 0.999
"""Prices are whole: a plan within this of the bound is the best."""


class _Quiet(highspy.Highs):
    """Without the callbacks: setting them up prints a banner, before output can be turned off."""

    def __init__(self) -> None:
        super(highspy.Highs, self).__init__()
        self.setOptionValue("output_flag", False)


def _model(selection: Selection) -> highspy.HighsLp:
    """The whole problem, passed in one go, by rows."""
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
    lp.integrality_ = [highspy.HighsVarType.kInteger] * columns
    return lp


def _options(solver: highspy.Highs, stop: Stop) -> None:
    # Threads belong to the process: without the reset a second run with another number fails.
    highspy.Highs.resetGlobalScheduler(True)
    options: dict[str, bool | int | float] = {
        "threads": stop.workers,
        "random_seed": stop.seed,
        "mip_rel_gap": stop.gap,
        "mip_abs_gap": _WHOLE_CENTS,
    }
    if stop.seconds is not None:
        options["time_limit"] = stop.seconds
    if stop.steps is not None:
        options["mip_max_nodes"] = stop.steps
    for name, value in options.items():
        solver.setOptionValue(name, value)


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    picked: Picked | None
    told: float
    """The price that the solver names for it."""
    bound: float
    seconds: float


def _run(selection: Selection, start: Picked | None, stop: Stop) -> _Run:
    columns = len(selection.cost)
    solver = _Quiet()
    _options(solver, stop)
    solver.passModel(_model(selection))
    if start is not None:
        solver.setSolution(columns, np.arange(columns, dtype=np.int32), start.astype(np.float64))
    solver.run()
    info = solver.getInfo()
    picked: Picked | None = None
    # A time limit without a choice still fills the values: only the status tells.
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        picked = np.asarray(solver.getSolution().col_value) > 0.5
    return _Run(
        picked, info.objective_function_value, info.mip_dual_bound, float(solver.getRunTime())
    )


def _lost(selection: Selection, run: _Run) -> bool:
    """Whether the solver names a lower price than that of the choice it hands over.

    Seen with 1.16: presolve turns the start into a better choice and proves it the best, and the
    start itself is handed over.
    """
    return run.picked is not None and selection.price(run.picked) > run.told + 0.5


def highs(selection: Selection, start: Picked | None, stop: Stop) -> EngineResult:
    """Pick the cheapest choice with HiGHS.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if len(selection.cost) == 0:
        return settle(selection, np.zeros(0, dtype=np.bool_), None, selection.constant)
    run = _run(selection, start, stop)
    bound = run.bound
    if start is not None and _lost(selection, run):
        left = None if stop.seconds is None else max(0.0, stop.seconds - run.seconds)
        run = _run(selection, None, replace(stop, seconds=left))
        bound = max(bound, run.bound)
    return settle(selection, start, run.picked, whole_bound(bound))
