"""Published projects and weeks to their known least, by each engine: `python published_optima.py`.

Each run is a process of its own with one thread, so that a run that hears no stop can be ended.
Names of projects or engines after the command take those only; `--seconds` is each run's limit.
"""

import argparse
import resource
import subprocess
import sys
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "outside"))

from project_time_indexed import time_indexed
from published_projects import SHORTEST, read_project
from weighted_lateness import KNOWN, as_selection, by_hand, read_lateness, seated

from crewplan.scheduling.engines import engine
from crewplan.scheduling.stop import Stop

ENGINES = ("highs", "cp-sat")
_OVERRUN = 2.0
"""A run that takes so many times its limit is ended."""


LEAST = SHORTEST | {f"lateness {name}": known for name, known in KNOWN.items()}


def problem(name: str) -> Any:
    """What to select, and a start."""
    kind, _, case = name.partition(" ")
    if kind != "lateness":
        return time_indexed(read_project(name))
    lateness = read_lateness(case)
    selection, columns = as_selection(lateness)
    return selection, seated(columns, by_hand(lateness))


def run_one(project: str, name: str, seconds: float) -> str:
    """One row's cells: columns, length and bound, and processor seconds."""
    selection, start = problem(project)
    result = engine(name)(selection, start, Stop(seconds=seconds, gap=0.0, threads=1))
    used = resource.getrusage(resource.RUSAGE_SELF)
    proven = "yes" if result.proven and result.objective == LEAST[project] else "no"
    took = used.ru_utime + used.ru_stime
    columns = len(selection.cost)
    return f"{columns} | {result.objective} | {result.bound} | {proven} | {took:.1f}"


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("only", nargs="*", help="projects or engines")
    asked.add_argument("--seconds", type=float, default=600.0)
    asked.add_argument("--one", action="store_true", help="this process itself: PROJECT ENGINE")
    given = asked.parse_args()
    if given.one:
        print(run_one(*given.only, given.seconds))
        return
    only = set(given.only)
    print("| case | known | engine | columns | found | bound | proven | processor s |")
    print("|---|---|---|---|---|---|---|---|")
    for project, least in LEAST.items():
        for name in ENGINES:
            if (only & set(LEAST) and project not in only) or (
                only & set(ENGINES) and name not in only
            ):
                continue
            words = [sys.executable, __file__, "--one", project, name]
            words += ["--seconds", str(given.seconds)]
            try:
                done = subprocess.run(
                    words, capture_output=True, text=True, timeout=_OVERRUN * given.seconds + 60
                )
                cells = done.stdout.strip() or f"failed: {done.stderr.strip()[-80:]} | | | |"
            except subprocess.TimeoutExpired:
                cells = "ended past its limit | | | |"
            print(f"| {project} | {least} | {name} | {cells} |", flush=True)


if __name__ == "__main__":
    main()
