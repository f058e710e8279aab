"""A shared board under load: 200 people for 3 minutes, each a page or an entry every 10 s.

    python tests/benchmarks/board_under_load.py [--to ADDRESS] [--demo] [--people N] [--seconds N]

The board runs in a process of its own, as `crewplan board --share` starts it; the people are
threads of this one, on the same cores. Latency counts from the moment at which somebody meant to
begin, all requests of their page or entry together. Afterwards every acknowledged entry is looked
for in the database. Prints a table.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))

from grown_demo import grown
from simulated_people import PASSWORD, Browser, Person, wait_until
from sqlalchemy import func, select

from crewplan.intake import OwnTables
from crewplan.store.accounts import add_account
from crewplan.store.cells import columns_of
from crewplan.store.connecting import Store, open_store
from crewplan.store.importing import accept, look_at
from crewplan.store.place import place_of
from crewplan.store.schema import RECORDS, TABLE_ROWS

CLOCK = "2026-05-03T18:00:00-05:00"
"""Set by hand: the demo's forecast is of this evening."""
EVERY_S = 10.0
_MOST_PERCENT = 95


@dataclass
class Seen:
    """What happened to everybody."""

    seconds: dict[str, list[float]] = field(default_factory=dict)
    """By kind of page or entry."""
    errors: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    board_cpu_s: float = 0.0
    looks_cpu_s: float = 0.0
    whole_s: float = 0.0
    people_cpu_s: float = 0.0
    conflicts: int = 0
    moved: int = 0
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def took(self, kind: str, seconds: float) -> None:
        with self._lock:
            self.seconds.setdefault(kind, []).append(seconds)

    def failed(self, words: str) -> None:
        with self._lock:
            self.errors.append(words)

    def share(self, percent: int, kind: str | None = None) -> float:
        """So many in a hundred took no longer."""
        chosen = [self.seconds[kind]] if kind else self.seconds.values()
        ordered = sorted(second for each in chosen for second in each)
        return ordered[min(len(ordered) - 1, len(ordered) * percent // 100)]


def filled(source: str, own: OwnTables, people: int) -> list[tuple[str, str]]:
    """A database with the tables and with accounts; names and roles."""
    store, at = open_store(place_of(source), create=True), datetime.now(UTC)
    with store.write() as connection:
        accept(connection, look_at(connection, own), "load", at)
    crews = [row.crew for row in own.rows["crews"]]
    named = []
    for number in range(people):
        role = {0: "manager", 1: "office", 2: "office", 3: "owner"}.get(number % 16, "lead")
        named.append((f"{role} {number}", role, [crews[number % len(crews)]]))
    with ThreadPoolExecutor(2) as workers:  # a hash takes its time, on purpose
        for name, role, theirs in named:
            leads = theirs if role == "lead" else []
            workers.submit(add_account, store, name, role, leads, PASSWORD, "load", at)
    return [(name, role) for name, role, _ in named]


def _command(*words: str, **how: Any) -> subprocess.Popen[str]:
    path = os.pathsep.join([str(Path(__file__).parents[2]), os.environ.get("PYTHONPATH", "")])
    return subprocess.Popen(
        [sys.executable, "-m", "crewplan.cli", *words, "--now", CLOCK],
        text=True,
        env={**os.environ, "PYTHONPATH": path},
        stderr=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        **how,
    )


def publish(source: str) -> None:
    """Make the week a published one, as it is where people work by it."""
    process = _command("plan", source, "--publish")
    process.communicate()
    if process.returncode > 1:
        raise SystemExit("no plan could be published")


@contextmanager
def board(source: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A shared board's process and address."""
    process = _command("board", source, "--share", "--port", "0")
    try:
        for line in process.stdout:
            if line.startswith("http://"):
                break
        else:
            raise SystemExit("the board did not start")
        yield process, line.strip()
    finally:
        process.kill()
        process.communicate()


def cpu_s(pid: int) -> tuple[float, float]:
    """Seconds of processor time of a process, and of those that it started and that ended."""
    parts = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    tick = os.sysconf("SC_CLK_TCK")
    return sum(map(int, parts[11:13])) / tick, sum(map(int, parts[13:15])) / tick


def _live(person: Person, begin: float, until: float, seen: Seen) -> None:
    at = begin
    while at < until:
        wait_until(at)
        try:
            kind = person.act()
            seen.took(kind, time.monotonic() - at)
        except Exception as error:  # whatever it is, a person would have met it
            seen.failed(f"{person.name}: {type(error).__name__}: {error}")
        at += EVERY_S


def run(source: str, own: OwnTables, people: int, seconds: float) -> Seen:
    """Fill, start, log everybody in, let them work, and count."""
    names, seen = filled(source, own, people), Seen()
    publish(source)
    with board(source) as (process, address):
        folk = [Person(name, role, Browser(address), random.Random(name)) for name, role in names]
        for person in folk:
            person.log_in()
            person.browser.document("/enter")
        before, mine = cpu_s(process.pid), time.process_time()
        begin = time.monotonic() + 1
        threads = [
            threading.Thread(
                target=_live,
                args=(person, begin + EVERY_S * at / people, begin + seconds, seen),
            )
            for at, person in enumerate(folk)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        seen.whole_s = time.monotonic() - begin
        after = cpu_s(process.pid)
        seen.board_cpu_s, seen.looks_cpu_s = after[0] - before[0], after[1] - before[1]
        seen.people_cpu_s = time.process_time() - mine
        for person in folk:
            person.browser.close()
    seen.conflicts = sum(person.conflicts for person in folk)
    seen.moved = sum(person.moved for person in folk)
    seen.lost = lost(open_store(place_of(source)), folk)
    return seen


def lost(store: Store, folk: Sequence[Person]) -> list[str]:
    """Acknowledged entries that are not in the database, or are there twice."""
    wrong = []
    cells = TABLE_ROWS.c.cells
    with store.read() as connection:
        noted = connection.execute(select(cells).where(cells.like('%"load %')))
        names = columns_of("hours_worked")
        entered = [dict(zip(names, json.loads(text), strict=True)) for text in noted.scalars()]
        rows = Counter((row["note"], row["person"]) for row in entered)
        counted = select(RECORDS.c.made_by, RECORDS.c.kind, func.count().label("many"))
        kept = {
            (row.made_by, row.kind): row.many
            for row in connection.execute(counted.group_by(RECORDS.c.made_by, RECORDS.c.kind))
        }
    there_at_all = {note for note, _ in rows}
    wrong += [f"{note}, {who}: {many} times" for (note, who), many in rows.items() if many > 1]
    for person in folk:
        wrong += [f"hours of {note}" for note in person.notes if note not in there_at_all]
        for kind in ("reading", "tick"):
            there = kept.get((person.name, kind), 0)
            if there != person.kept[kind]:
                wrong.append(f"{kind} of {person.name}: {person.kept[kind]} kept, {there} there")
    return wrong


def table(seen: Seen, people: int, seconds: float) -> str:
    """As it stands in DEVELOPERS.md."""
    lines = [
        "| what | number | half within, s | 95 % within, s | slowest, s |",
        "|---|---|---|---|---|",
    ]
    for kind in sorted(seen.seconds):
        took = seen.seconds[kind]
        lines.append(
            f"| {kind} | {len(took)} | {seen.share(50, kind):.3f} | {seen.share(95, kind):.3f} "
            f"| {max(took):.3f} |"
        )
    every = sum(map(len, seen.seconds.values()))
    lines.append(
        f"| all | {every} | {seen.share(50):.3f} | {seen.share(95):.3f} | {seen.share(100):.3f} |"
    )
    lines.append(
        f"\n{people} people, {seconds:.0f} s, {every / seconds:.1f} a second; errors "
        f"{len(seen.errors)}, conflicts shown {seen.conflicts}, stages moved away meanwhile "
        f"{seen.moved}, lost or twice {len(seen.lost)}; "
        f"in {seen.whole_s:.0f} s the processor: board {seen.board_cpu_s:.0f} s, looks "
        f"{seen.looks_cpu_s:.0f} s, people {seen.people_cpu_s:.0f} s"
    )
    return "\n".join([*lines, *seen.errors[:10], *seen.lost[:10]])


def main() -> None:
    """Print a table; the exit code tells errors and losses."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--to", default="")
    words.add_argument("--demo", action="store_true")
    words.add_argument("--people", type=int, default=200)
    words.add_argument("--seconds", type=float, default=180)
    asked = words.parse_args()
    own = grown(7, 85) if asked.demo else grown(40, 240)
    with tempfile.TemporaryDirectory() as folder:
        seen = run(asked.to or folder, own, asked.people, asked.seconds)
    print(table(seen, asked.people, asked.seconds))
    sys.exit(bool(seen.errors or seen.lost or seen.share(_MOST_PERCENT) > 0.5))


if __name__ == "__main__":
    main()
