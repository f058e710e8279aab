"""What lending people between crews is worth: the same week planned without and with it.

`PYTHONPATH=tests python tests/benchmarks/lending_worth.py 12 60 --seconds 15`; a share of people is
away once in the ten days, for one to four days.
"""

import argparse
import random
import time
from dataclasses import replace
from datetime import timedelta

from builders import NOW
from invented_weeks import bare_week, choose

from crewplan.model.people_rows import Absence
from crewplan.scheduling import Stop, check_plan, schedule

COST = 40.0


def with_absences(tables, share, seed):
    """Each person is away once with a chance of `share`."""
    rng = random.Random(seed)
    days = [NOW.date() + timedelta(days=n) for n in range(1, 13)]
    away = tuple(
        Absence(person.person, day, day + timedelta(days=rng.randint(0, 3)))
        for person in tables.people
        for day in [rng.choice(days)]
        if rng.random() < share
    )
    return replace(tables, absences=away, present=tables.present | {"absences"})


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("crews", type=int)
    asked.add_argument("stages", type=int)
    asked.add_argument("--share", type=float, default=0.35)
    asked.add_argument("--seconds", type=float, default=15.0)
    asked.add_argument("--seeds", type=int, default=2)
    given = asked.parse_args()
    print("seed people lending columns choices_s solve_s price gap_pct left_out faults")
    for seed in range(1, given.seeds + 1):
        tables = with_absences(bare_week(given.crews, given.stages, seed), given.share, seed)
        for cost in (None, COST):
            week = replace(tables, settings=replace(tables.settings, lending_cost_per_day=cost))
            begun = time.perf_counter()
            choices = choose(week)
            chosen = time.perf_counter()
            plan = schedule(choices, stop=Stop(seconds=given.seconds))
            ended = time.perf_counter()
            faults = len(check_plan(week, choices, plan, NOW))
            print(
                f"{seed} {len(week.people)} {cost} {len(choices.placements)} "
                f"{chosen - begun:.1f} {ended - chosen:.1f} {plan.objective / 100:.2f} "
                f"{100 * plan.gap:.2f} {len(plan.unplaced)} {faults}",
                flush=True,
            )


if __name__ == "__main__":
    main()
