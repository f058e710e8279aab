"""Planning again after one event: `python tests/benchmarks/replan_speed.py 40 240 --cold 60`.

An invented week (invented_weeks.py) is planned; then two people of a crew fall ill, a permit slips,
a job comes in, a day is shut by wind. Each is planned again from the look that was kept, and
afresh; a large event once for each of `--seconds`. Processor seconds are of this process; the
solver of a thorough search has its own.
"""

import argparse
import os
import pickle
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "placing"))

from dataclasses import replace

from invented_weeks import NOW, TODAY, week
from test_memory_of_the_last_look import a_day_is_shut, a_job_comes_in

from crewplan.model.people_rows import Absence
from crewplan.placing.memory import Memory
from crewplan.running.clock import Clock
from crewplan.running.replanning import replan
from crewplan.running.week import plan_week
from crewplan.scheduling import Stop
from crewplan.scheduling.comparing import moves_between, slots

CLOCK = Clock(NOW, "set by hand")


def some_planned(made):
    """A roof stage that starts in the middle of the days, frozen days behind it."""
    roofs = [p for p in made.plan.planned if p.placement.stage.endswith("-r")]
    return min(roofs, key=lambda p: abs(p.placement.start - 9))


def a_crew_is_ill(made):
    people = some_planned(made).placement.people[:2]
    gone = (Absence(who, TODAY, None) for who in people)
    return replace(made.branch, absences=(*made.branch.absences, *gone))


def a_permit_slips(made):
    job = some_planned(made).job
    rows = (
        replace(row, state="open", granted_on=None)
        if (row.job, row.kind) == (job, "permit")
        else row
        for row in made.branch.requirements
    )
    return replace(made.branch, requirements=tuple(rows))


EVENTS = {
    "two of a crew ill": a_crew_is_ill,
    "a permit slips": a_permit_slips,
    "a job comes in": lambda made: a_job_comes_in(made.branch),
    "a day is shut": lambda made: a_day_is_shut(made.branch),
}


HEAD = """\
| event | lost | again s | processor s | afresh s | price to afresh % | moves | afresh |
|---|---|---|---|---|---|---|---|"""


def timed(function):
    begun, used = time.perf_counter(), time.process_time()
    value = function()
    return value, time.perf_counter() - begun, time.process_time() - used


def moves(before, after):
    was, now = slots(before), slots(after)
    return len(moves_between(was, now, dict.fromkeys((*was, *now), "")))


def main():
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("crews", type=int)
    asked.add_argument("stages", type=int)
    asked.add_argument("--cold", type=float, default=60.0, help="seconds of a search afresh")
    asked.add_argument("--seed", type=int, default=0)
    asked.add_argument(
        "--seconds", type=float, nargs="+", default=[20.0], help="of the search after a large event"
    )
    asked.add_argument("--keep", type=Path, help="a file for the week, which takes long to make")
    given = asked.parse_args()
    if given.keep and given.keep.exists():
        tables = pickle.loads(given.keep.read_bytes())
    else:
        tables = week(given.crews, given.stages, given.seed)
        if given.keep:
            given.keep.write_bytes(pickle.dumps(tables))
    stop, memory = Stop(seconds=given.cold, gap=0.0005), Memory()
    made = plan_week(tables, CLOCK, stop=stop, memory=memory)
    print(HEAD, flush=True)
    for name, event in EVENTS.items():
        changed = event(made)
        afresh, cold, _ = timed(lambda changed=changed: plan_week(changed, CLOCK, stop=stop))
        for limit in given.seconds:
            replan(made, memory, made.branch, CLOCK, thorough=False, beside=False)  # as it was kept
            again, wall, used = timed(
                lambda changed=changed, limit=limit: replan(
                    made, memory, changed, CLOCK, seconds=limit, beside=False
                )
            )
            over = 100 * (again.week.plan.objective / afresh.plan.objective - 1)
            told = f"{name}, {limit:g} s" if again.thorough else name
            print(
                f"| {told} | {len(again.lost)} | {wall:.1f} | {used:.1f} | {cold:.0f} "
                f"| {over:+.2f} | {len(again.moves)} | {moves(made.plan, afresh.plan)} |",
                flush=True,
            )
            if not again.thorough:
                break
    print(f"load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
