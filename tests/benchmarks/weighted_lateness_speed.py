"""Weighted lateness, 40 crews and 240 stages: ours against pyjobshop, from the same start.

`python tests/benchmarks/weighted_lateness_speed.py [--seconds 80] [--seeds 3]`; pyjobshop is no
part of the tests: `pip install pyjobshop==0.0.9`. Each run is a process with two threads.
"""

import argparse
import resource
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from weighted_lateness import as_selection, by_hand, price, read_lateness, seated, seats_of

from crewplan.scheduling.engines import engine
from crewplan.scheduling.stop import Stop

CASE = "40x240"
THREADS = 2


def ours(name, case, seats, seconds, seed):
    """The best that was told within the time: one run of a solver may hear a stop late."""
    begun = time.perf_counter()
    selection, columns = as_selection(case)
    start = seated(columns, seats)
    in_time = [(start, 0)]

    def tell(so_far):
        if time.perf_counter() - begun <= seconds:
            in_time.append((so_far.picked, so_far.bound))

    left = seconds - (time.perf_counter() - begun)
    engine(name)(selection, start, Stop(left, gap=0.0, threads=THREADS, seed=seed), tell)
    picked, bound = in_time[-1]
    return seats_of(columns, picked), bound


def pyjobshop(case, seats, seconds, seed):
    from pyjobshop import Model, ScheduledTask, Solution

    model = Model()
    crews = [model.add_machine() for _ in range(case.crews)]
    modes = {}
    for stage, durations in enumerate(case.duration):
        job = model.add_job(weight=case.weight[stage], due_date=case.due[stage])
        task = model.add_task(job=job, earliest_start=case.release[stage], latest_end=case.slots)
        for crew, length in enumerate(durations):
            if length:
                model.add_mode(task, [crews[crew]], length)
                modes[stage, crew] = len(modes)
    model.set_objective(weight_total_tardiness=1)
    start = Solution(
        model.data(),
        [
            ScheduledTask(modes[stage, crew], [crew], at, at + case.duration[stage][crew])
            for stage, (crew, at) in enumerate(seats)
        ],
    )
    result = model.solve(
        time_limit=seconds,
        display=False,
        num_workers=THREADS,
        initial_solution=start,
        random_seed=seed,
    )
    # with no choice found in time it hands over an empty one: the start is what it has then
    found = [(task.resources[0], task.start) for task in result.best.tasks] or seats
    return min(found, seats, key=lambda one: price(case, one)), round(result.lower_bound)


RUNS = {
    "ours, highs": lambda *given: ours("highs", *given),
    "ours, cp-sat": lambda *given: ours("cp-sat", *given),
    "pyjobshop": pyjobshop,
}


def run_one(name, seconds, seed):
    case = read_lateness(CASE)
    seats = by_hand(case)
    begun = time.perf_counter()
    found, bound = RUNS[name](case, seats, seconds, seed)
    took = time.perf_counter() - begun
    used = resource.getrusage(resource.RUSAGE_SELF)
    return (
        f"{price(case, seats)} | {price(case, found)} | {bound} | {took:.0f} | "
        f"{used.ru_utime + used.ru_stime:.0f}"
    )


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seconds", type=float, default=80.0)
    asked.add_argument("--seeds", type=int, default=1)
    asked.add_argument("--one", nargs=2, help="this process itself: RUN SEED")
    given = asked.parse_args()
    if given.one:
        print(run_one(given.one[0], given.seconds, int(given.one[1])))
        return
    print("| run | seed | start | lateness | bound | ended after s | processor s |")
    print("|---|---|---|---|---|---|---|")
    for seed in range(given.seeds):
        for name in RUNS:
            words = [sys.executable, __file__, "--one", name, str(seed)]
            words += ["--seconds", str(given.seconds)]
            done = subprocess.run(words, capture_output=True, text=True)
            print(f"| {name} | {seed} | {done.stdout.strip() or done.stderr[-300:]} |", flush=True)


if __name__ == "__main__":
    main()
