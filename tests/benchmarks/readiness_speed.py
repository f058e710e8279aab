"""How long readiness takes: python tests/benchmarks/readiness_speed.py

The aim of 2,000 requirements with 20,000 past records in 1 s: 1,000 roof stages with two asked
requirements each, 20 authorities, kits drawn from stock with arrivals, chances by calendar day,
50 % and 80 % dates, deadlines and today's calls. Invented, on one core, scipy already loaded. Told
apart: the chances alone, and the whole answer with take-off and hours.
"""

import sys
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import scipy.stats  # noqa: F401

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from builders import NOW, branch, job, plane, stage  # noqa: E402

from crewplan.labour import stage_hours_all  # noqa: E402
from crewplan.model.branch import Branch  # noqa: E402
from crewplan.model.calendar import working_days  # noqa: E402
from crewplan.model.material_rows import Arrival, Stock  # noqa: E402
from crewplan.model.waiting_rows import LeadTime, Requirement  # noqa: E402
from crewplan.readiness import readiness  # noqa: E402
from crewplan.running.clock import Clock  # noqa: E402
from crewplan.running.readying import ask_ready  # noqa: E402
from crewplan.takeoff import TAKEOFF_ITEMS, take_off_all  # noqa: E402

TODAY = date(2026, 5, 3)
JOBS, RECORDS, AUTHORITIES = 1000, 20_000, 20
KINDS = ("permit", "survey")


def invented() -> Branch:
    """1,000 jobs of one roof stage, all of them waiting."""
    rng = np.random.default_rng(7)
    names = [f"J{number}" for number in range(JOBS)]
    waits = np.minimum(rng.lognormal(3.4, 0.9, RECORDS), 300).astype(int)
    records = []
    for number, wait in enumerate(waits):
        asked_on = TODAY - timedelta(days=int(rng.integers(1, 700)))
        granted_on = asked_on + timedelta(days=int(wait))
        town = f"Town {number % AUTHORITIES}"
        over = granted_on if granted_on <= TODAY else None
        records.append(LeadTime(KINDS[number % 2], asked_on, town, over))
    return branch(
        jobs=tuple(
            job(
                name,
                authority=f"Town {number % AUTHORITIES}",
                due_on=TODAY + timedelta(days=int(rng.integers(1, 60))),
            )
            for number, name in enumerate(names)
        ),
        planes=tuple(plane(job=name) for name in names),
        stages=tuple(stage(f"S-{name}", job=name) for name in names),
        requirements=tuple(
            Requirement(name, kind, "asked", TODAY - timedelta(days=int(rng.integers(0, 40))))
            for name in names
            for kind in KINDS
        ),
        lead_times=tuple(records),
        stock=tuple(Stock(item, 900.0) for item in TAKEOFF_ITEMS),
        arrivals=tuple(
            Arrival(item, 900.0, TODAY + timedelta(days=7 * week))
            for item in TAKEOFF_ITEMS
            for week in range(1, 8)
        ),
    )


def told(what: str, begin: float, used: float) -> None:
    """Seconds by the clock and of the processor since then."""
    clock, cpu = time.perf_counter() - begin, time.process_time() - used
    print(f"{what}: {clock:.2f} s by the clock, {cpu:.2f} s of the processor")


if __name__ == "__main__":
    folder = invented()
    days = working_days(folder.settings, TODAY + timedelta(days=1), 10)
    begin, used = time.perf_counter(), time.process_time()
    hours = stage_hours_all(folder, take_off_all(folder), TODAY)
    told("take-off and hours, which the whole answer does again", begin, used)
    begin, used = time.perf_counter(), time.process_time()
    readiness(folder, hours, days, NOW)
    told(f"chances of {JOBS * len(KINDS)} requirements over {len(days)} days", begin, used)
    begin, used = time.perf_counter(), time.process_time()
    view = ask_ready(folder, Clock(NOW, "set by hand"))
    told(f"whole answer, {len(view.days)} days, {len(view.calls)} calls", begin, used)
