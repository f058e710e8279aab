"""How long plans of several sizes take: `python tests/benchmarks/scheduling_speed.py 12 60`.

Invented weeks (tests/scheduling/invented_choices.py), all crews at all starts of ten days.
"""

import argparse
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "scheduling"))

from invented_choices import invented_choices

from crewplan.scheduling import Stop, schedule


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("crews", type=int)
    asked.add_argument("stages", type=int)
    asked.add_argument("--engine", default="highs", choices=("highs", "cp-sat"))
    asked.add_argument("--seconds", type=float, default=12.0)
    asked.add_argument("--seeds", type=int, default=3)
    given = asked.parse_args()
    print("seed  columns  seconds  gap_pct  price_over_rule_of_thumb")
    for seed in range(given.seeds):
        choices = invented_choices(given.crews, given.stages, seed=seed)
        begun = time.perf_counter()
        plan = schedule(choices, engine=given.engine, stop=Stop(seconds=given.seconds))
        took = time.perf_counter() - begun
        share = plan.objective / plan.rule_of_thumb
        columns = len(choices.placements)
        print(f"{seed:4}  {columns:7}  {took:7.2f}  {100 * plan.gap:7.2f}  {share:.3f}")


if __name__ == "__main__":
    main()
