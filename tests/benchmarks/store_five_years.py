"""Five years of 40 crews in a database: how long imports, entries and a stage's history take.

    python tests/benchmarks/store_five_years.py [--to ADDRESS]

400,000 hours and 10,000 stages of 5,000 jobs, made by a seed; prints a table.
"""

import argparse
import random
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from dataclasses import replace

from crewplan.intake import OwnTables, read_own_tables
from crewplan.model.work_rows import HoursWorked
from crewplan.store.connecting import open_store
from crewplan.store.entering import edit, enter
from crewplan.store.history import history
from crewplan.store.importing import accept, look_at
from crewplan.store.place import place_of
from crewplan.store.reading import read_branch
from crewplan.store.rows import rows_at

BASE = Path(__file__).parents[1] / "faults" / "_base"
JOBS, STAGES, HOURS = 5_000, 10_000, 400_000


def five_years() -> OwnTables:
    """The small branch with many jobs, stages and hours."""
    small, chance = read_own_tables(BASE), random.Random(1)
    job, stage = small.rows["jobs"][0], small.rows["stages"][0]
    plane, permit = small.rows["planes"][0], small.rows["requirements"][0]
    names = [f"J{number}" for number in range(JOBS)]
    begin = date(2021, 5, 1)
    hours = tuple(
        HoursWorked(
            begin + timedelta(days=number * 1825 // HOURS),
            f"S{chance.randrange(STAGES)}",
            "Ann",
            round(chance.uniform(0.5, 9), 1),
        )
        for number in range(HOURS)
    )
    rows = {
        **small.rows,
        "jobs": tuple(replace(job, job=name) for name in names),
        "planes": tuple(replace(plane, job=name) for name in names),
        "requirements": tuple(replace(permit, job=name) for name in names),
        "stages": tuple(
            replace(stage, stage=f"S{number}", job=names[number // 2]) for number in range(STAGES)
        ),
        "hours_worked": hours,
    }
    return OwnTables(small.settings, rows, small.weather)


@contextmanager
def timed(what: str) -> Iterator[None]:
    """Print how long it took."""
    start = time.perf_counter()
    yield
    print(f"| {what} | {time.perf_counter() - start:.3f} |", flush=True)


def main() -> None:
    """Fill a database, and ask it."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--to", default="")
    with tempfile.TemporaryDirectory() as folder:
        source = words.parse_args().to or folder
        store = open_store(place_of(source), create=True)
        own = five_years()
        print("| what | s |\n|---|---|")
        with timed("first import"), store.write() as connection:
            accept(connection, look_at(connection, own), "ann", datetime.now(UTC))
        with timed("a look at the same tables again"), store.read() as connection:
            assert not look_at(connection, own).is_change
        with timed("the history of a stage"), store.read() as connection:
            history(connection, "S77")
        hours = {"day": "2026-05-04", "stage": "S77", "person": "Ann", "hours": "3"}
        with timed("an entry of hours"):
            seen = enter(store, "hours_worked", hours, "bob", datetime.now(UTC))
        values = {"state": "refused"}
        with timed("a correction of a requirement"):
            key = ("J77", "permit")
            now = datetime.now(UTC)
            edit(store, "requirements", key, values, "bob", now, expected_version=seen)
        with timed("one table's rows (requirements)"), store.read() as connection:
            rows_at(connection, table="requirements")
        with timed("the whole branch read"):
            read_branch(source)


if __name__ == "__main__":
    main()
