"""What a process that plans runs in the tests; found by its name from there."""

import os
import time

from invented_choices import invented_choices

from crewplan.running.solver_process import SolverProcess
from crewplan.scheduling import Stop, schedule


def price(crews, stages, watch):
    """The price of an invented week that is searched until somebody stops it, for a minute."""
    choices = invented_choices(crews, stages, seed=3)
    with SolverProcess(watch) as process:
        plan = schedule(
            choices, engine="cp-sat", stop=Stop(seconds=60, gap=0.0), solver=process.engine
        )
        return plan.objective, plan.rule_of_thumb, process.ended_by


def rejected(watch):
    raise ValueError("this week cannot be planned.\nand more that nobody reads")


def died(watch):
    os._exit(9)


def asleep_beside_a_solver(watch):
    """Starts a solver, tells its number, and never ends."""
    with SolverProcess(watch) as process:
        process.start()
        watch.tell(_Number(process.pid))
        time.sleep(600)


class _Number:
    """In the place of what a search tells: a price is all that is read."""

    def __init__(self, number):
        self.price = self.bound = number
        self.gap = 0.0
