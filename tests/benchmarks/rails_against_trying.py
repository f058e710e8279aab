"""Rails cut from stock: small cases against exhaustive search, whole jobs against the bound.

`python tests/benchmarks/rails_against_trying.py [CASES]`
"""

import math
import sys
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1] / "takeoff"), str(Path(__file__).parents[1])]

from builders import job, module, plane, racking  # noqa: E402
from cutting_twin import as_rails, fewest_by_trying, random_rails  # noqa: E402

from crewplan.takeoff import take_off  # noqa: E402
from crewplan.takeoff.cutting import cut_rails  # noqa: E402

SEED = 20261125


def small_cases(cases: int, seed: int = SEED) -> dict[str, int]:
    """How often exhaustive search finds fewer stock lengths, or fewer than the proven bound."""
    rng = np.random.default_rng(seed)
    names = (
        "cases",
        "bound not reached by any cutting",
        "one more than needed",
        "worse",
        "bound wrong",
    )
    counts = dict.fromkeys(names, 0)
    while counts["cases"] < cases:
        kinds, stock, least_piece = random_rails(rng)
        if not kinds:
            continue
        cutting = cut_rails(as_rails(kinds), float(stock), float(least_piece))
        best = fewest_by_trying(kinds, stock, least_piece, cutting.least)
        if best is None:
            continue
        counts["cases"] += 1
        counts["bound not reached by any cutting"] += best > cutting.least
        counts["one more than needed"] += len(cutting.stock) == best + 1
        counts["worse"] += len(cutting.stock) > best + 1
        counts["bound wrong"] += best < cutting.least
        if len(cutting.stock) > best:
            print(kinds, stock, least_piece, len(cutting.stock), best, cutting.least)
    return counts


def whole_jobs(jobs: int, seed: int = SEED) -> dict[str, float]:
    """Stock lengths of random jobs of two planes against the bounds."""
    rng = np.random.default_rng(seed)
    rails = racking(tolerance_mm=60.0)
    counts = dict.fromkeys(
        ("jobs", "stock lengths", "proven bound", "total length / stock", "each rail for itself",
         "jobs at the proven bound"), 0
    )  # fmt: skip
    for _ in range(jobs):
        roof = [
            plane(
                name,
                rows=tuple(int(n) for n in rng.integers(3, 12, rng.integers(1, 4))),
                rafter_spacing_mm=float(rng.choice([406, 610])),
                array_left_mm=1000.0 + float(rng.integers(0, 400)),
                first_rafter_mm=float(rng.integers(0, 400)),
            )
            for name in ("a", "b")
        ]
        counted = take_off(job(), [(one, module(), rails) for one in roof])
        lengths = [rail.length_mm for one in counted.planes for rail in one.rails]
        counts["jobs"] += 1
        counts["stock lengths"] += len(counted.cuts)
        counts["proven bound"] += counted.least_stock
        counts["total length / stock"] += math.ceil(sum(lengths) / rails.rail_mm)
        counts["each rail for itself"] += sum(math.ceil(n / rails.rail_mm) for n in lengths)
        counts["jobs at the proven bound"] += len(counted.cuts) == counted.least_stock
    return counts


def main() -> None:
    """Print both tables."""
    cases = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    for measure, number in ((small_cases, cases), (whole_jobs, 240)):
        begun = time.perf_counter()
        for name, count in measure(number).items():
            print(f"| {name} | {count} |")
        print(f"| seconds | {time.perf_counter() - begun:.1f} |\n")


if __name__ == "__main__":
    main()
