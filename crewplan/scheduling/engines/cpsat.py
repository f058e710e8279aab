"""CP-SAT, a clause-learning solver: the stronger one where order and capacities are tight.

Placements are booleans and nothing else. No intervals: with optional intervals that share an end
variable it can report a false optimum.
"""

from dataclasses import replace

import numpy as np
from ortools.sat.python import cp_model

from crewplan.scheduling.engines.best import Best
from crewplan.scheduling.engines.interface import (
    EngineResult,
    Tell,
    settle,
    tell_nobody,
    whole_bound,
)
from crewplan.scheduling.selection import NO_LOWER, Picked, Selection
from crewplan.scheduling.stop import Stop


def _model(selection: Selection) -> tuple[cp_model.CpModel, list[cp_model.IntVar]]:
    model = cp_model.CpModel()
    chosen = [model.new_bool_var("") for _ in range(len(selection.cost))]
    starts, columns, factors = (
        selection.matrix.indptr.tolist(),
        selection.matrix.indices.tolist(),
        selection.matrix.data.tolist(),
    )
    ends = zip(selection.lower.tolist(), selection.upper.tolist(), strict=True)
    for row, (lower, upper) in enumerate(ends):
        held = slice(starts[row], starts[row + 1])
        total = cp_model.LinearExpr.weighted_sum([chosen[c] for c in columns[held]], factors[held])
        least = cp_model.INT_MIN if lower == NO_LOWER else lower
        model.add_linear_constraint(total, least, upper)
    price = cp_model.LinearExpr.weighted_sum(chosen, selection.cost.tolist())
    model.minimize(price + selection.constant)
    return model, chosen


class _Listener(cp_model.CpSolverSolutionCallback):
    """Hands each better choice over."""

    def __init__(self, chosen: list[cp_model.IntVar], best: Best) -> None:
        super().__init__()
        self._chosen, self._best = chosen, best

    def on_solution_callback(self) -> None:
        """A better choice was found."""
        picked = np.array([self.boolean_value(one) for one in self._chosen], dtype=np.bool_)
        self._best.offer(picked)
        self._best.prove(whole_bound(self.best_objective_bound))


def cpsat(
    selection: Selection, start: Picked | None, stop: Stop, tell: Tell = tell_nobody
) -> EngineResult:
    """Pick the cheapest choice with CP-SAT.

    Raises:
        NothingFound: where the time ran out first, or no choice exists.
    """
    if len(selection.cost) == 0:
        nothing = settle(selection, np.zeros(0, dtype=np.bool_), None, selection.constant)
        return replace(nothing, solver="cp-sat")
    model, chosen = _model(selection)
    if start is not None:
        for variable, value in zip(chosen, start.tolist(), strict=True):
            model.add_hint(variable, value)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = stop.workers
    solver.parameters.random_seed = stop.seed
    solver.parameters.relative_gap_limit = stop.gap
    if stop.seconds is not None:
        solver.parameters.max_time_in_seconds = stop.seconds
    if stop.steps is not None:
        solver.parameters.max_number_of_conflicts = stop.steps
    if start is not None and selection.holds(start):
        solver.solve(model, _Listener(chosen, Best(selection, start, tell)))
    else:
        solver.solve(model)
    status = solver.status_name()
    found: Picked | None = None
    if status in ("OPTIMAL", "FEASIBLE"):
        found = np.array([solver.boolean_value(variable) for variable in chosen], dtype=np.bool_)
    bound = None
    if status in ("OPTIMAL", "FEASIBLE", "UNKNOWN"):
        bound = whole_bound(solver.best_objective_bound)
    return replace(settle(selection, start, found, bound, solver.num_conflicts), solver="cp-sat")
