"""Kill -9 of a writing process at random points: is every acknowledged write there, none half?

    python tests/benchmarks/store_kills.py [--kills 200] [--seed 1] [--to ADDRESS]

A child writes entries, imports that change three tables together, published plans, and forms (two
records, and a mark that lets the form in only once), and says each on a pipe once it is
acknowledged. It is killed after a random time of up to 0.4 s, counted from its start, from when it
has opened the database, or, for half of the kills, from its first acknowledged write, so that a
slow machine's kills meet writes too. Then the database is opened and held to what was said. Prints
a table; exit 1 where anything is lost or half.
"""

import argparse
import os
import random
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime
from hashlib import md5
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from sqlalchemy import Connection, func, select

from crewplan.intake import OwnTables, read_own_tables
from crewplan.model.plan_row import PlanRow
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import enter
from crewplan.store.importing import accept, look_at
from crewplan.store.place import place_of
from crewplan.store.publishing_plan import publish
from crewplan.store.recent import ticks_of
from crewplan.store.records import NewRecord, add_records
from crewplan.store.schema import PLANS, SENT_FORMS, TABLE_ROWS, VERSIONS
from crewplan.store.sent_forms import taken_once
from crewplan.store.state import own_tables_at
from crewplan.store.versions import newest

BASE = Path(__file__).parents[1] / "faults" / "_base"
DAY = "2026-05-04"
LONGEST_S = 0.4
_OPEN = b"open\n"


def _import_all(store: Store, folder: Path, token: str) -> None:
    """The token goes into three tables: half an import would have it in fewer."""
    text = (BASE / "jobs.csv").read_text()
    (folder / "jobs.csv").write_text(text.replace("Invented One", token))
    people = (BASE / "people.csv").read_text().replace("cost_per_h", "cost_per_h,phone")
    (folder / "people.csv").write_text(people.replace(",40\n", f",40,{token}\n"))
    (folder / "stock.csv").write_text(f"item,on_hand\n{token},1\n")
    own = read_own_tables(folder)
    with store.write() as connection:
        accept(connection, look_at(connection, own), "importer", datetime.now(UTC))


def _publish(store: Store, number: int) -> None:
    rows = (PlanRow("S1", "Blue", date(2026, 5, 4), half_days=1 + number % 9),)
    with store.write() as connection:
        here = newest(connection)
        assert here is not None
        publish(connection, rows, "planner", datetime.now(UTC), here.number)


def _send_form(store: Store, token: str) -> None:
    """Half a form would leave its mark, or one of its two records, without the rest."""
    at = datetime.now(UTC)
    new = [
        NewRecord("tick", {"item": f"{token} {half}", "ticked": True}, DAY, "S1")
        for half in ("one", "other")
    ]
    with taken_once(store, md5(token.encode()).hexdigest(), "sender", at) as connection:
        add_records(connection, new, "sender", at)


def _write_for_ever(source: str, pipe: int, folder: Path, seed: int) -> None:
    """The child: never returns."""
    chance = random.Random(seed)
    store = open_store(place_of(source))
    os.write(pipe, _OPEN)
    number = 0
    while True:
        number += 1
        token = f"t{seed}x{number}"
        kind = chance.choices(("entry", "form", "import", "plan"), (6, 4, 1, 2))[0]
        if kind == "entry":
            values = {
                "day": "2026-05-04",
                "stage": "S1",
                "person": "Ann",
                "hours": "1",
                "note": token,
            }
            enter(store, "hours_worked", values, "writer", datetime.now(UTC))
        elif kind == "form":
            _send_form(store, token)
        elif kind == "import":
            _import_all(store, folder, token)
        else:
            _publish(store, number)
        os.write(pipe, f"{kind} {token}\n".encode())


def _killed_run(source: str, folder: Path, seed: int) -> list[tuple[str, str]]:
    """What a child said that it had written before it was killed."""
    receive, send = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(receive)
        try:
            _write_for_ever(source, send, folder, seed)
        finally:
            os._exit(1)
    os.close(send)
    chance = random.Random(-seed)
    lines = chance.choice((0, 1, 2, 2))  # its start; the database is open; a first write
    heard = b""
    while heard.count(b"\n") < lines:
        heard += os.read(receive, 100)
    time.sleep(chance.uniform(0, LONGEST_S))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(receive) as said:
        lines = (heard.decode() + said.read()).splitlines()[1:]
    return [(kind, token) for kind, _, token in (line.partition(" ") for line in lines)]


def _faults(store: Store, said: list[tuple[str, str]]) -> Iterator[str]:
    """What is lost, half or broken."""
    if store.place.file is not None:
        with closing(sqlite3.connect(store.place.file)) as plain:
            found = plain.execute("PRAGMA integrity_check").fetchone()[0]
            if found != "ok":
                yield f"integrity: {found}"
    with store.read() as connection:
        own: OwnTables = own_tables_at(connection)
        notes = [row.note for row in own.rows.get("hours_worked", ())]
        for kind, token in said:
            if kind == "entry" and notes.count(token) != 1:
                yield f"entry {token} is there {notes.count(token)} times"
        yield from _form_faults(connection, [token for kind, token in said if kind == "form"])
        imports = [token for kind, token in said if kind == "import"]
        in_tables = {
            own.rows["jobs"][0].customer,
            own.rows["people"][0].phone,
            *(row.item for row in own.rows.get("stock", ())),
        } - {"Invented One", ""}
        if len(in_tables) > 1:
            yield f"half an import: {in_tables}"
        if imports and in_tables != {imports[-1]} and not _after(in_tables, imports[-1]):
            yield f"import {imports[-1]} is lost; there is {in_tables}"
        count = select(func.count())
        versions = connection.execute(count.select_from(VERSIONS)).scalar_one()
        last = connection.execute(select(func.max(VERSIONS.c.number))).scalar_one()
        if versions != last:
            yield f"{versions} versions, the last numbered {last}"
        entries = connection.execute(count.where(VERSIONS.c.kind == "entry")).scalar_one()
        rows = connection.execute(
            count.select_from(TABLE_ROWS)
            .join(VERSIONS, TABLE_ROWS.c.first_version == VERSIONS.c.number)
            .where(VERSIONS.c.kind == "entry")
        ).scalar_one()
        if entries != rows:
            yield f"{entries} entries with {rows} rows"
        published = connection.execute(count.where(VERSIONS.c.kind == "plan")).scalar_one()
        plans = connection.execute(count.select_from(PLANS)).scalar_one()
        if published != plans:
            yield f"{published} published versions, {plans} plans"


def _form_faults(connection: Connection, tokens: list[str]) -> Iterator[str]:
    """Forms without their records, records without their form, or either not there."""
    items = set(ticks_of(connection, "S1", date.fromisoformat(DAY)))
    marks = set(connection.execute(select(SENT_FORMS.c.nonce)).scalars())
    whole = {item.partition(" ")[0] for item in items}
    for token in tokens:
        if token not in whole:
            yield f"form {token} is lost"
    for token in whole:
        halves = {f"{token} one", f"{token} other"} <= items
        if not halves or md5(token.encode()).hexdigest() not in marks:
            yield f"half a form: {token}"
    if len(marks) != len(whole):
        yield f"{len(marks)} marks of forms, {len(whole)} forms"


def _after(found: set[str], token: str) -> bool:
    """Whether what is there was written after what was said last: killed before it could say."""
    return all(_order(word) > _order(token) for word in found)


def _order(token: str) -> tuple[int, int]:
    """Which child wrote it, and as its how many-eth."""
    child, _, number = token.removeprefix("t").partition("x")
    return int(child), int(number)


def run(source: str, kills: int, seed: int) -> tuple[dict[str, float], list[str]]:
    """Counts and times by name, and all faults."""
    folder = Path(tempfile.mkdtemp(prefix="crewplan-kills-"))
    shutil.copytree(BASE, folder, dirs_exist_ok=True)
    store = open_store(place_of(source), create=True)
    own = read_own_tables(folder)
    with store.write() as connection:
        accept(connection, look_at(connection, own), "importer", datetime.now(UTC))
    faults: list[str] = []
    counts = {"entry": 0, "form": 0, "import": 0, "plan": 0}
    slowest_s = 0.0
    before: list[tuple[str, str]] = []
    for number in range(kills):
        said = _killed_run(source, folder, seed * 100_000 + number)
        for kind, _ in said:
            counts[kind] += 1
        before = [*before, *said]
        start = time.perf_counter()
        again = open_store(place_of(source))
        with again.read() as connection:
            newest(connection)
        slowest_s = max(slowest_s, time.perf_counter() - start)
        faults += [f"kill {number + 1}: {fault}" for fault in _faults(again, _held(before))]
    shutil.rmtree(folder)
    return {
        "kills": kills,
        "acknowledged entries": counts["entry"],
        "acknowledged forms": counts["form"],
        "acknowledged imports": counts["import"],
        "acknowledged plans": counts["plan"],
        "slowest opening after a kill, s": round(slowest_s, 3),
        "lost, half or broken": len(faults),
    }, faults


def _held(said: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """All entries and forms; imports where nobody can have replaced them: by the last child."""
    last_child = said[-1][1].partition("x")[0] if said else ""
    return [
        (kind, token)
        for kind, token in said
        if kind in ("entry", "form") or token.partition("x")[0] == last_child
    ]


def main() -> int:
    """Run, print, judge."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--kills", type=int, default=200)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--to", default="")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        counts, faults = run(given.to or folder, given.kills, given.seed)
    for name, value in counts.items():
        print(f"| {name} | {value} |")
    for fault in faults:
        print(fault, file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
