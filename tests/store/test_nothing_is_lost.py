"""Killed writers, many writers at once, a full disk: what was acknowledged is there, none half."""

import importlib.util
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest
from store_cases import AT, count_versions, now_in, tables_into

from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, enter
from crewplan.store.faults import Conflict, StoreFault
from crewplan.store.place import place_of
from crewplan.store.rows import rows_at
from crewplan.store.versions import newest

HERE = Path(__file__).parent
KILLS = 30
PROCESSES, THREADS, ENTRIES = 2, 10, 5


@pytest.fixture(scope="module")
def kills() -> ModuleType:
    """The command that kills; it is run on its own with 200."""
    path = HERE.parent / "benchmarks" / "store_kills.py"
    spec = importlib.util.spec_from_file_location("store_kills", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_after_kill_9_every_acknowledged_write_is_there_and_none_half(
    source: str, kills: ModuleType
) -> None:
    counts, faults = kills.run(source, KILLS, seed=7)
    assert faults == []
    assert counts["acknowledged entries"] > 0
    assert counts["acknowledged forms"] > 0
    assert sum(counts[f"acknowledged {kind}"] for kind in ("entries", "forms")) > KILLS / 4
    assert counts["slowest opening after a kill, s"] < 2


_WRITER = """
import sys, threading
from datetime import UTC, datetime
from crewplan.store.connecting import open_store
from crewplan.store.entering import enter
from crewplan.store.place import place_of
source, name, threads, entries = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
faults = []
def work(number):
    store = open_store(place_of(source))  # each its own, as each command has
    try:
        for entry in range(entries):
            note = f"{name}-{number}-{entry}"
            values = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "1"}
            values["note"] = note
            enter(store, "hours_worked", values, name, datetime.now(UTC))
    except BaseException as error:
        faults.append(repr(error))
all_of_them = [threading.Thread(target=work, args=(number,)) for number in range(threads)]
for one in all_of_them: one.start()
for one in all_of_them: one.join()
print(faults)
"""


def test_two_processes_and_twenty_threads_lose_no_entry_and_nobody_is_told_locked(
    branch_store: Store, source: str
) -> None:
    words = [sys.executable, "-c", _WRITER, source]
    running = [
        subprocess.Popen(
            [*words, f"p{number}", str(THREADS), str(ENTRIES)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(HERE.parents[1])},
        )
        for number in range(PROCESSES)
    ]
    ends = [process.communicate(timeout=120) for process in running]
    assert [(out.strip(), err) for out, err in ends] == [("[]", "")] * PROCESSES
    notes = sorted(row.note for row in now_in(branch_store).rows["hours_worked"])
    assert notes == sorted(
        f"p{process}-{thread}-{entry}"
        for process in range(PROCESSES)
        for thread in range(THREADS)
        for entry in range(ENTRIES)
    )
    assert count_versions(branch_store) == 1 + len(notes)


def test_twenty_people_counting_one_cell_up_lose_no_update(
    branch_store: Store, source: str
) -> None:
    """Each reads, adds a hundredth and writes; on a conflict they look again."""
    turns = 3

    values = {"day": "2026-05-04", "stage": "S1", "step": "rails", "share_done": "0"}
    enter(branch_store, "progress", values, "x", AT)
    key, faults = ("2026-05-04", "S1", "rails"), []

    def add_a_hundredth() -> None:
        mine, done = open_store(place_of(source)), 0
        try:
            while done < turns:
                with mine.read() as connection:
                    version = newest(connection)
                    share = rows_at(connection, table="progress")["progress"][0].cells[3]
                assert version is not None
                fresh = {"share_done": f"{float(share) + 0.01:.2f}"}
                try:
                    edit(mine, "progress", key, fresh, "x", AT, expected_version=version.number)
                    done += 1
                except Conflict:
                    continue
        except Exception as error:
            faults.append(error)

    people = [threading.Thread(target=add_a_hundredth) for _ in range(20)]
    for one in people:
        one.start()
    for one in people:
        one.join()
    assert faults == []
    assert now_in(branch_store).rows["progress"][0].share_done == pytest.approx(0.6)


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Two megabytes that can be filled."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(disk)]
    if os.geteuid() != 0 or subprocess.run(mount, capture_output=True).returncode != 0:
        pytest.skip("this machine does not let a small disk be mounted")
    try:
        yield disk
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_full_disk_is_a_sentence_and_loses_nothing(small_disk: Path, tmp_path: Path) -> None:
    store = open_store(place_of(small_disk), create=True)
    tables_into(store, tmp_path / "b")
    filler = small_disk / "filler"
    written = 0
    with filler.open("wb", buffering=0) as file:
        file.write(bytes(1_200_000))
    values = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "1"}
    values["note"] = "n" * 5000
    told = ""
    while not told:
        try:
            enter(store, "hours_worked", values, "bob", AT)
            written += 1
        except StoreFault as fault:
            told = str(fault)
    assert told == f"{small_disk / 'crewplan.db'}: the disk is full; nothing was written"
    assert written > 0
    again = open_store(place_of(small_disk))
    assert len(now_in(again).rows["hours_worked"]) == written
    filler.unlink()
    enter(again, "hours_worked", values, "bob", AT)
    assert len(now_in(again).rows["hours_worked"]) == written + 1


def test_a_disk_too_full_for_an_import_keeps_the_version_before(
    small_disk: Path, tmp_path: Path
) -> None:
    store = open_store(place_of(small_disk), create=True)
    tables_into(store, tmp_path / "b")
    before = now_in(store).rows
    note = "".join(f"2026-05-04,S1,,Ann,1,,{'n' * 900}{n}\n" for n in range(3000))
    hours = "day,stage,step,person,hours,cause,note\n" + note
    with pytest.raises(StoreFault, match="disk is full"):
        tables_into(store, tmp_path / "c", hours_worked=hours)
    assert now_in(open_store(place_of(small_disk))).rows == before
