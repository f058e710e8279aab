"""How long estimating and learning take: PYTHONPATH=tests python tests/benchmarks/rates_speed.py

240 jobs taken off and estimated; then five years of 40 crews (10,000 stages, some 400,000 entries)
learned from and held against their forecasts. Pure functions, one core.
"""

import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from rates_cases import TODAY, invented

from crewplan.labour import stage_hours_all
from crewplan.labour.calibration import calibrate
from crewplan.labour.learning import learn
from crewplan.takeoff import take_off_all

JOBS, STAGES = 240, 5_000


def timed(words: str, call: Callable[[], Any]) -> Any:
    """Run, print the seconds, hand on the result."""
    start = time.perf_counter()
    result = call()
    print(f"{words:<56}{time.perf_counter() - start:6.2f} s", flush=True)
    return result


def main() -> None:
    """Print a line each."""
    small = invented(
        1, counts={"roof": JOBS, "electrical": JOBS}, unseen_counts=(), crews=12
    ).branch

    def estimated():
        return stage_hours_all(small, take_off_all(small), TODAY)

    timed(f"{JOBS} jobs taken off and estimated", estimated)
    counts = {"roof": STAGES, "electrical": STAGES}
    case = invented(2, counts=counts, unseen_counts=(), crews=40, days=5 * 365)
    halves = [replace(row, hours=row.hours / 2) for row in case.branch.hours_worked]
    many = replace(case.branch, hours_worked=(*halves, *halves))  # each entry told by halves
    print(f"{len(many.stages)} stages, {len(many.hours_worked)} entries")
    learned = timed("rates learned", lambda: learn(many, case.takeoffs, TODAY))
    print(f"learned from {learned.stages} stages, {len(learned.left_out)} left out")
    held = timed("forecasts held against hours", lambda: calibrate(many, case.takeoffs, TODAY))
    print(f"{len(held.cases)} finished stages")


if __name__ == "__main__":
    main()
