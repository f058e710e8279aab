"""240 jobs taken off and their hours estimated: `python tests/benchmarks/takeoff_speed.py`.

Processor time of one core, so that what else the machine does is left out.
"""

import sys
import time
from datetime import date
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1])]

from builders import branch, job, plane, racking, stage  # noqa: E402

from crewplan.labour import stage_hours_all  # noqa: E402
from crewplan.takeoff import take_off_all  # noqa: E402

JOBS = 240


def folder(staggered: bool, measured: bool):
    """Jobs of two planes with ragged rows, no two alike."""
    rng = np.random.default_rng(20261125)
    names = [f"J{number}" for number in range(JOBS)]
    planes = []
    for name in names:
        for side in ("south", "west"):
            roof = {
                "rows": tuple(int(n) for n in rng.integers(3, 12, rng.integers(1, 4))),
                "rafter_spacing_mm": float(rng.choice([406, 610])),
                "unevenness_mm": float(rng.integers(0, 13)),
            }
            places = rng.integers(0, 400, 2)
            if measured:
                roof |= {
                    "array_left_mm": 1000.0 + float(places[0]),
                    "first_rafter_mm": float(places[1]),
                }
            planes.append(plane(side, job=name, **roof))
    return branch(
        jobs=tuple(job(name) for name in names),
        planes=tuple(planes),
        stages=tuple(stage(name, job=name) for name in names),
        racking=(racking(tolerance_mm=60.0, staggered=staggered),),
    )


def main() -> None:
    """Print the table."""
    print("| 240 jobs, 480 planes | take-off, s | hours, s | rails at the proven bound |")
    for staggered, measured in ((False, False), (False, True), (True, True)):
        tables = folder(staggered, measured)
        begun = time.process_time()
        takeoffs = take_off_all(tables)
        counted = time.process_time()
        stage_hours_all(tables, takeoffs, date(2026, 5, 4))
        done = time.process_time()
        best = sum(len(one.cuts) == one.least_stock for one in takeoffs.values())
        name = ("rafters measured" if measured else "rafters not measured") + (
            ", staggered" if staggered else ""
        )
        print(f"| {name} | {counted - begun:.2f} | {done - counted:.2f} | {best} of {JOBS} |")


if __name__ == "__main__":
    main()
