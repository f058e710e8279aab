"""Why no interval is used: optional intervals of several modes that share one end variable.

Source: shared/benchmarks/README.md, measured there with CP-SAT 9.12 to 9.15 on r125_10 (published
optimum 16): such a model says OPTIMAL with 17, whatever the seed. No checker of feasibility can
see this.
"""

import pytest
from ortools.sat.python import cp_model
from project_numbers import OPTIMUM


def shared_end_model(project):
    """The bad form, written on purpose."""
    model = cp_model.CpModel()
    horizon = sum(max(d for d, _ in modes) for modes in project.modes)
    starts = [model.new_int_var(0, horizon, "") for _ in project.modes]
    ends = [model.new_int_var(0, horizon, "") for _ in project.modes]
    resources = range(len(project.capacities))
    uses = {r: ([], []) for r in resources}
    spent = {r: [] for r in resources}
    for activity, modes in enumerate(project.modes):
        chosen = [model.new_bool_var("") for _ in modes]
        model.add_exactly_one(chosen)
        for taken, (duration, demands) in zip(chosen, modes, strict=True):
            interval = model.new_optional_interval_var(
                starts[activity], duration, ends[activity], taken, ""
            )
            for r, amount in enumerate(demands):
                if amount and project.renewable[r]:
                    uses[r][0].append(interval)
                    uses[r][1].append(amount)
                elif amount:
                    spent[r].append(amount * taken)
        for follower in project.after[activity]:
            model.add(ends[activity] <= starts[follower])
    for r, capacity in enumerate(project.capacities):
        model.add_cumulative(*uses[r], capacity)
        model.add(sum(spent[r]) <= capacity)
    model.minimize(ends[-1])
    return model


@pytest.mark.parametrize("seed", range(3))
def test_a_shared_end_variable_reports_a_false_optimum(seed):
    project, optimum = OPTIMUM["r125_10"]
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.solve(shared_end_model(project))
    assert solver.status_name() == "OPTIMAL"
    assert solver.objective_value == 17 != optimum
