"""Five years of 40 crews in a database: imports, entries, a stage's history, and what pages ask.

    python tests/benchmarks/store_five_years.py [--to ADDRESS]

400,000 hours and 10,000 stages of 5,000 jobs, all but 240 stages finished, made from the demo's
tables by a seed. Prints a table of seconds; each question of a page, with the indexes that the
database says it uses, follows.
"""

import argparse
import re
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "store"))

from grown_demo import FIVE_YEARS, grown
from query_plans import QueryPlan, query_plans
from sqlalchemy import text

from crewplan.ledger.missed_parts import MISSED, since
from crewplan.running.all_stays import all_of_it_stays
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, enter
from crewplan.store.following import Follower
from crewplan.store.history import history
from crewplan.store.hours_sums import kept_hours
from crewplan.store.importing import accept, look_at
from crewplan.store.open_work import open_work, standing_rows
from crewplan.store.place import place_of
from crewplan.store.reading import read_branch, read_open_branch
from crewplan.store.recent import (
    hours_lost_for,
    hours_of_day,
    hours_of_stage,
    progress_of_stage,
    readings_on,
    ticks_of,
)
from crewplan.store.rows import rows_at

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
DAY = date(2026, 5, 4)
STAGE = "J19-roof"
_MOST_S = 0.1
"""All that one page asks."""


@contextmanager
def timed(what: str) -> Iterator[None]:
    """Print how long it took."""
    start = time.perf_counter()
    yield
    print(f"| {what} | {time.perf_counter() - start:.3f} |", flush=True)


def pages(store: Store) -> dict[str, object]:
    """By page: what it asks the database for."""
    with store.read() as connection:
        found = open_work(connection, NOW, warn=False)
    jobs = [row.job for row in found.own.rows["jobs"]]
    stages = tuple(row.stage for row in found.own.rows["stages"])
    people = {row.person for row in found.own.rows["people"][:3]}
    follower = Follower(store)

    def notes(connection: object) -> None:
        hours_of_stage(connection, STAGE)
        progress_of_stage(connection, STAGE)
        ticks_of(connection, STAGE, DAY)
        readings_on(connection, DAY, crew="A", stages=(STAGE,), jobs=("J1",))

    return {
        "a look: all open work": lambda c: open_work(c, NOW, warn=True),
        "what is new (each second)": lambda c: (follower.newest(), follower.since(1)),
        "hours: sums of five years": lambda c: kept_hours(c, stages),
        "tomorrow: what was written down of a visit": notes,
        "form of hours: hours of a day": lambda c: hours_of_day(c, DAY, people),
        "load list: what was missing in eight weeks": lambda c: hours_lost_for(
            c, MISSED, since(NOW.date()), NOW.date()
        ),
        "states of what open jobs wait for": lambda c: standing_rows(c, "requirements", job=jobs),
        "pins of the published plan": lambda c: standing_rows(c, "plan", stage=stages),
        "history of a stage": lambda c: history(c, STAGE),
    }


def ask_all(store: Store) -> bool:
    """Time each page's questions, and show how they are answered; whether all hold."""
    good = True
    plans: list[QueryPlan] = []
    print("\n| a page's questions, answers as rows of the model | s |\n|---|---|")
    for page, ask in pages(store).items():
        with store.read() as connection:
            begun = time.perf_counter()
            ask(connection)
            took = time.perf_counter() - begun
        print(f"| {page} | {took:.3f} |", flush=True)
        good &= took < _MOST_S
        plans += query_plans(store, ask)
    print("\nIndexes:")
    for index in sorted(
        set(re.findall(r"(?:INDEX|using) (\w{4,})", "\n".join(one.plan for one in plans)))
    ):
        print(f"- {index}")
    whole = [one for one in plans if one.reads_all("table_rows")]
    for one in whole:
        print(f"READS ALL ROWS: {' '.join(one.statement.split())}\n{one.plan}")
    return good and not whole


def main() -> None:
    """Fill a database, and ask it."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--to", default="")
    with tempfile.TemporaryDirectory() as folder:
        source = words.parse_args().to or folder
        store = open_store(place_of(source), create=True)
        own = grown(years=FIVE_YEARS)
        print("| what | s |\n|---|---|")
        with timed("first import"), all_of_it_stays(), store.write() as connection:
            accept(connection, look_at(connection, own), "ann", datetime.now(UTC))
        if not store.sqlite:  # what the server does by itself within a minute
            with store.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as c:
                c.execute(text("ANALYZE"))
        with (
            timed("a look at the same tables again"),
            all_of_it_stays(),
            store.read() as connection,
        ):
            assert not look_at(connection, own).is_change
        person = own.rows["people"][0].person
        hours = {"day": "2026-05-03", "stage": STAGE, "person": person, "hours": "3"}
        with timed("an entry of hours"):
            seen = enter(store, "hours_worked", hours, "bob", datetime.now(UTC))
        done = {"day": "2026-05-03", "stage": STAGE, "step": "rails", "share_done": "0.5"}
        with timed("an entry of progress"):
            enter(store, "progress", done, "bob", datetime.now(UTC))
        with timed("a correction of a requirement"):
            key = ("J19", "permit")
            now = datetime.now(UTC)
            values = {"expected_on": "2026-06-01"}
            edit(store, "requirements", key, values, "bob", now, expected_version=seen)
        with timed("one table's rows (requirements)"), store.read() as connection:
            rows_at(connection, table="requirements")
        with timed("all that a plan needs, as a branch"):
            read_open_branch(source)
        with timed("the whole branch read"):
            read_branch(source)
        good = ask_all(store)
    sys.exit(not good)


if __name__ == "__main__":
    main()
