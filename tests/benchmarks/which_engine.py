"""Which engine for which size: `python tests/benchmarks/which_engine.py --seconds 20`.

Invented weeks with every rule on (invented_weeks.py) of rising size, each solved by both engines
from the same start on the same cores: seconds to a plan proven within 0.2 %, or the gap at the end.
"""

import argparse
import os
import time

from invented_weeks import choose, week

from crewplan.scheduling.engines import engine
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.rule_of_thumb import rule_of_thumb
from crewplan.scheduling.stop import Stop

SIZES = ((2, 6), (3, 9), (3, 12), (4, 15), (5, 21), (6, 30), (8, 42), (12, 60))


def measure(crews, stages, seed, seconds):
    """The columns, and for each engine (seconds, gap)."""
    kept = keep_together(choose(week(crews, stages, seed)), engine("highs"))
    selection = kept.whole.selection
    start = rule_of_thumb(kept.whole, kept.seated)
    found = {}
    for name in ("highs", "cp-sat"):
        begun = time.perf_counter()
        result = engine(name)(selection, start, Stop(seconds=seconds, gap=0.002))
        gap = (result.objective - result.bound) / max(abs(result.objective), 100)
        found[name] = time.perf_counter() - begun, gap
    return len(selection.cost), found


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seconds", type=float, default=20.0)
    asked.add_argument("--seeds", type=int, default=3)
    given = asked.parse_args()
    print("| crews / stages | seed | columns | HiGHS s | gap % | CP-SAT s | gap % | load |")
    print("|---|---|---|---|---|---|---|---|")
    for crews, stages in SIZES:
        for seed in range(given.seeds):
            columns, found = measure(crews, stages, seed, given.seconds)
            cells = [f"{s:.2f} | {100 * gap:.2f}" for s, gap in found.values()]
            load = os.getloadavg()[0]
            print(
                f"| {crews} / {stages} | {seed} | {columns} | {' | '.join(cells)} | {load:.1f} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
