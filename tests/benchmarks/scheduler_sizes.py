"""The scheduler at several sizes: `python tests/benchmarks/scheduler_sizes.py --plot sizes.svg`.

Invented weeks (invented_weeks.py) with every rule on, ten days, from tables in memory to a plan
that the checker passed. Beside ours: the rule of thumb, and the same problem given plainly to
CP-SAT, on the same cores for the same time, one after another. Each runs in a process of its own,
whose memory is told with its solver's.
"""

import argparse
import json
import os
import pickle
import resource
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from invented_weeks import NOW, choose, week

from crewplan.running.clock import Clock
from crewplan.running.watching import Watch
from crewplan.running.week import plan_week
from crewplan.scheduling.engines import NothingFound, engine
from crewplan.scheduling.keeping import keep_together
from crewplan.scheduling.stop import Stop

SIZES = ((6, 30, 30), (12, 60, 60), (24, 120, 90), (40, 240, 180), (100, 800, 180))
"""Crews, stages, and seconds from the tables to the checked plan."""
PLAIN = {(12, 60), (40, 240), (100, 800)}
"""Sizes that CP-SAT gets too."""
GOOD_ENOUGH = 0.002
GAPS = (0.01, 0.005, 0.002)


def peak_mb():
    """Of this process and the largest that it started; on Linux in kB."""
    who = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return sum(resource.getrusage(one).ru_maxrss for one in who) / 1024


def ours(tables, seconds):
    """Plan as `crewplan plan` does, stopped by the clock from the tables on."""
    begun = time.monotonic()
    first, reached = [], {}

    def tell(known):
        now = time.monotonic() - begun
        first.append(now)
        for gap in GAPS:
            if known.gap <= gap:
                reached.setdefault(gap, now)

    watch = Watch(tell, lambda: time.monotonic() - begun > seconds)
    made = plan_week(
        tables, Clock(NOW, "set by hand"), watch=watch, stop=Stop(seconds=seconds, gap=GOOD_ENOUGH)
    )
    whole = time.monotonic() - begun
    return {
        "columns": len(made.choices.placements),
        "placed_s": first[0],
        "reached_s": [reached.get(gap) for gap in GAPS],
        "whole_s": whole,
        "gap": made.plan.gap,
        "price": made.plan.objective,
        "bound": made.plan.bound,
        "rule_of_thumb": made.plan.rule_of_thumb,
        "peak_mb": peak_mb(),
    }


def plain(tables, seconds):
    """The same problem given to CP-SAT, without a start; placing and problem take of the time."""
    begun = time.monotonic()
    whole = keep_together(choose(tables), engine("highs")).whole.selection
    left = max(1.0, seconds - (time.monotonic() - begun))
    try:
        found = engine("cp-sat")(whole, None, Stop(seconds=left, gap=GOOD_ENOUGH))
        told = {"price": found.objective, "bound": found.bound}
    except NothingFound:
        told = {"price": None, "bound": None}
    return {**told, "whole_s": time.monotonic() - begun, "peak_mb": peak_mb()}


def apart(who, file, seconds):
    """In a process of its own, so that its memory is its own."""
    done = subprocess.run(
        [sys.executable, __file__, "--alone", who, str(file), str(seconds)],
        stdout=subprocess.PIPE,
        text=True,
        check=True,
    )
    return {**json.loads(done.stdout), "load": os.getloadavg()[0]}


def measure(crews, stages, seconds, seed, kept):
    """One size: ours, and CP-SAT's where it is asked."""
    file = kept / f"{crews}-{stages}-{seed}.pickle"
    if not file.exists():
        file.write_bytes(pickle.dumps(week(crews, stages, seed)))
    own = apart("ours", file, seconds)
    other = apart("plain", file, seconds) if (crews, stages) in PLAIN else None
    return own, other


def cell(seconds):
    return "-" if seconds is None else f"{seconds:.0f}"


def row(crews, stages, seconds, own, other):
    bound = own["bound"]
    over = f"{100 * (own['rule_of_thumb'] / bound - 1):.0f}"
    theirs = "|  |  "
    if other is not None:
        price = other["price"]
        cp = "no plan" if price is None else f"{100 * (price / bound - 1):.1f}"
        theirs = f"| {cp} | {other['peak_mb'] / 1024:.1f} "
    reached = " | ".join(map(cell, own["reached_s"]))
    return (
        f"| {crews} / {stages} | {own['columns']:,} | {own['placed_s']:.0f} | {reached} "
        f"| {own['whole_s']:.0f} of {seconds} | {100 * own['gap']:.2f} | {over} {theirs}"
        f"| {own['peak_mb'] / 1024:.1f} | {own['load']:.1f} |"
    )


HEAD = """\
| crews / stages | choices | placed s | 1 % s | 0.5 % s | 0.2 % s | whole s | gap % \
| rule of thumb over bound % | plain CP-SAT over bound % | its GB | GB | load |
|---|---|---|---|---|---|---|---|---|---|---|---|---|"""


def plot(file, sizes, found):
    """Seconds and memory against stages."""
    import matplotlib

    matplotlib.use("svg")
    matplotlib.rcParams["svg.hashsalt"] = "crewplan"
    from matplotlib import pyplot

    stages = [size[1] for size in sizes]
    figure, (left, right) = pyplot.subplots(1, 2, figsize=(9, 3.6), layout="constrained")
    placed = [own["placed_s"] for own in found]
    left.plot(stages, placed, "o--", label="all choices placed, problem built")
    one = [(n, own["reached_s"][0]) for n, own in zip(stages, found, strict=True)]
    one = [(n, s) for n, s in one if s is not None]
    left.plot(*zip(*one, strict=True), "s-", label="proven within 1 %")
    left.set_ylabel("seconds from the tables")
    left.legend()
    right.plot(stages, [own["peak_mb"] for own in found], "o-")
    right.set_ylabel("most memory, MB (with the solver's)")
    for axes in (left, right):
        axes.set_xlabel("stages")
        axes.set_ylim(bottom=0)
        axes.grid(alpha=0.3)
    figure.suptitle(f"Ten days on two shared cores, {date.today():%Y-%m-%d}")  # noqa: DTZ011
    figure.savefig(file, metadata={"Date": None})


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--alone", nargs=3, metavar=("WHO", "FILE", "SECONDS"))
    asked.add_argument("--seed", type=int, default=0)
    asked.add_argument("--most", type=int, default=800, help="stages of the largest size")
    asked.add_argument("--keep", type=Path, help="folder for the weeks, which take long to make")
    asked.add_argument("--plot", type=Path)
    given = asked.parse_args()
    if given.alone:
        who, file, seconds = given.alone
        tables = pickle.loads(Path(file).read_bytes())
        print(json.dumps({"ours": ours, "plain": plain}[who](tables, float(seconds))))
        return
    sizes = [size for size in SIZES if size[1] <= given.most]
    found = []
    print(HEAD, flush=True)
    with tempfile.TemporaryDirectory() as folder:
        for crews, stages, seconds in sizes:
            kept = given.keep or Path(folder)
            own, other = measure(crews, stages, seconds, given.seed, kept)
            found.append(own)
            print(row(crews, stages, seconds, own, other), flush=True)
    if given.plot:
        plot(given.plot, sizes, found)


if __name__ == "__main__":
    main()
