"""Fifty branches of twelve crews: a local cluster's two workers against two bare processes.

`python tests/benchmarks/many_branches.py [--branches 50] [--rounds 3]`; each way is timed from
nothing to the last plan, processes' own start included, the ways one after the other in each round
and in turns first. Then once more with a worker killed midway. All plans are compared.
"""

import argparse
import os
import signal
import statistics
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))

WORKERS = 2
Plans = dict[str, Any]


def calls(branches: int, crews: int, stages: int, steps: int) -> list[Any]:
    """Work to share out."""
    from invented_weeks import NOW, week

    from crewplan.running.branch_task import Asked, lean, plan_branch
    from crewplan.running.clock import Clock
    from crewplan.running.workers import Call

    clock, asked = Clock(NOW, "set by hand"), Asked(steps=steps)
    return [
        Call(str(seed), plan_branch, (lean(week(crews, stages, seed)), clock, asked))
        for seed in range(branches)
    ]


def as_told(made: Any) -> Any:
    """All that a plan says."""
    from crewplan.publishing.plan_json import plan_json

    return plan_json(made.plan, "set by hand")


def bare(work: list[Any]) -> Iterator[tuple[str, Any]]:
    """Two processes that take one branch after another."""
    with ProcessPoolExecutor(WORKERS, get_context("spawn")) as pool:
        out = {pool.submit(call.work, *call.given): call.key for call in work}
        for future in as_completed(out):
            yield out[future], future.result()


def shared(work: list[Any], *, kill: bool = False) -> Iterator[tuple[str, Any]]:
    """Two workers of a local cluster; `kill`: one of them in the middle of its work."""
    from crewplan.running.cluster import LOCAL, cluster

    with cluster(LOCAL, WORKERS) as workers:
        for number, done in enumerate(workers.run(work)):
            if done.error is not None:
                raise done.error
            yield done.key, done.value
            if kill and number == len(work) // 2:
                pids = workers._client.run(os.getpid)
                os.kill(next(iter(pids.values())), signal.SIGKILL)


def timed(done: Iterator[tuple[str, Any]]) -> tuple[float, Plans]:
    """Seconds to the last plan, and all plans."""
    begun, last, found = time.perf_counter(), 0.0, {}
    for key, made in done:
        last = time.perf_counter() - begun
        found[key] = as_told(made)
    return last, found


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--branches", type=int, default=50)
    asked.add_argument("--crews", type=int, default=12)
    asked.add_argument("--stages", type=int, default=60)
    asked.add_argument("--steps", type=int, default=2000)
    asked.add_argument("--rounds", type=int, default=3)
    given = asked.parse_args()
    work = calls(given.branches, given.crews, given.stages, given.steps)
    ways = {"bare": bare, "cluster": shared}
    print(f"| round of {given.branches} branches | two bare processes, s | cluster, s | share |")
    print("|---|---|---|---|")
    shares, plans = [], []
    for number in range(given.rounds):
        took = {}
        for name in sorted(ways, reverse=number % 2 == 1):
            took[name], found = timed(ways[name](work))
            plans.append(found)
        shares.append(took["bare"] / took["cluster"])
        print(
            f"| {number + 1} | {took['bare']:.1f} | {took['cluster']:.1f} | {shares[-1]:.3f} |",
            flush=True,
        )
    print(f"| median | | | {statistics.median(shares):.3f} |", flush=True)
    seconds, killed = timed(shared(work, kill=True))
    plans.append(killed)
    same = all(found == plans[0] for found in plans)
    print(f"| one worker killed midway | | {seconds:.1f} | |")
    print(f"all {len(plans)} runs have all {len(plans[0])} plans, and the same: {same}")
    if not same or len(plans[0]) != given.branches:
        sys.exit(1)


if __name__ == "__main__":
    main()
