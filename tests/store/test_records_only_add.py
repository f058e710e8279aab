"""What was told, measured and ticked is kept with who and when, and nothing of it is ever lost."""

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import delete, func, insert, select, update
from store_cases import AT, BASE, PLAN, count_versions, now_in, tables_into

from crewplan.model.plan_row import PlanRow
from crewplan.store.backup import back_up, restore
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, enter
from crewplan.store.exporting import files_of
from crewplan.store.faults import NotDone, StoreFault
from crewplan.store.history import history
from crewplan.store.place import place_of
from crewplan.store.publishing_plan import publish
from crewplan.store.recent import hours_of_day, readings_on, ticks_of
from crewplan.store.records import NewRecord, add_records, found_records, records_about
from crewplan.store.schema import RECORDS, SENT_FORMS
from crewplan.store.sent_forms import SentBefore, new_nonce, taken_once

DAY = date(2026, 5, 4)
GUST = {
    "where": "roof", "unit": "mph", "gust": 31.0, "mean": None, "gust_mps": 13.858,
    "mean_mps": None, "at": "2026-05-04T09:40:00-05:00",
}  # fmt: skip
HOURS = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "3.5"}


def tick(item: str, ticked: bool, stage: str = "S1") -> NewRecord:
    return NewRecord("tick", {"item": item, "counted": 32, "ticked": ticked}, str(DAY), stage)


def keep(store: Store, *new: NewRecord, by: str = "ann") -> None:
    with store.write() as connection:
        add_records(connection, new, by, AT)


def reading(**changes: object) -> NewRecord:
    return NewRecord("reading", {**GUST, **changes}, str(DAY), "S1", "J1", "Blue")


def test_a_record_makes_no_version_and_is_in_no_table(branch_store: Store) -> None:
    before = files_of(now_in(branch_store))
    keep(branch_store, reading(), tick("mid clamp", True))
    assert count_versions(branch_store) == 1
    assert files_of(now_in(branch_store)) == before


def test_the_last_word_on_an_item_counts_and_each_is_kept(branch_store: Store) -> None:
    keep(branch_store, tick("mid clamp", True), tick("rail", True))
    keep(branch_store, tick("mid clamp", False), tick("mid clamp", True, "S3"), by="bob")
    with branch_store.read() as connection:
        found = ticks_of(connection, "S1", DAY)
        other_day = ticks_of(connection, "S1", date(2026, 5, 5))
        kept = connection.execute(select(func.count()).select_from(RECORDS)).scalar_one()
    assert {item: (one.ticked, one.by) for item, one in found.items()} == {
        "mid clamp": (False, "bob"), "rail": (True, "ann"),
    }  # fmt: skip
    assert other_day == {}
    assert kept == 4


def test_a_reading_taken_back_no_longer_counts_and_is_corrected_once(branch_store: Store) -> None:
    keep(branch_store, reading(), reading(gust=12.0))
    with branch_store.read() as connection:
        wrong, right = readings_on(connection, DAY)
    back = NewRecord("reading", {"why": "entered wrongly"}, str(DAY), "S1", replaces=wrong.id)
    keep(branch_store, back, by="bob")
    with branch_store.read() as connection:
        assert readings_on(connection, DAY) == (right,)
        assert readings_on(connection, date(2026, 5, 5)) == ()
    with pytest.raises(NotDone, match="corrected by bob already"):
        keep(branch_store, back)
    with pytest.raises(NotDone, match="no reading 99"):
        keep(branch_store, NewRecord("reading", {}, str(DAY), replaces=99))


@pytest.mark.parametrize(
    "statement",
    [
        update(RECORDS).values(made_by="somebody else"),
        update(RECORDS).values(contents="{}"),
        delete(RECORDS),
        update(SENT_FORMS).values(made_by="somebody else"),
        delete(SENT_FORMS),
    ],
    ids=str,
)
def test_a_record_cannot_be_altered_even_by_the_databases_own_language(
    branch_store: Store, statement: object
) -> None:
    keep(branch_store, reading())
    with taken_once(branch_store, new_nonce(), "ann", AT):
        pass
    with pytest.raises(StoreFault, match="never changed"), branch_store.write() as connection:
        connection.execute(statement)  # type: ignore[call-overload]


def test_without_a_branch_there_is_nothing_to_keep_records_of(store: Store) -> None:
    with pytest.raises(NotDone, match="nothing has been imported"):
        keep(store, reading())


def test_the_history_tells_records_between_the_changes_of_the_tables(branch_store: Store) -> None:
    keep(branch_store, reading())
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    keep(branch_store, tick("mid clamp", True), by="cid")
    with branch_store.read() as connection:
        told = [(e.by, e.version, e.how, e.table, e.what) for e in history(connection, "S1")]
        other = history(connection, "S3")
    assert told[-3:] == [
        (
            "ann", 1, "record", "readings",
            "gust 31 mph, measured on the roof at 09:40 by crew Blue",
        ),
        ("bob", 2, "entry", "hours_worked", "added: day 2026-05-04, person Ann, hours 3.5"),
        ("cid", 2, "record", "load list", "mid clamp (32) ticked for 2026-05-04"),
    ]  # fmt: skip
    assert all(event.how != "record" for event in other)


def test_entries_made_during_a_solve_are_kept_with_the_plan(
    branch_store: Store, tmp_path: Path
) -> None:
    seen = tables_into(branch_store, tmp_path / "p", plan=PLAN)
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    granted = {"state": "granted", "granted_on": "2026-05-01"}
    edit(branch_store, "requirements", ("J2", "permit"), granted, "olga", AT, expected_version=seen)
    with branch_store.write() as connection:
        done = publish(connection, (PlanRow("S1", "Blue", DAY),), "meg", AT, seen)
    assert len(done.flagged) == 2
    with branch_store.read() as connection:
        flags = {
            stage: [e.what for e in history(connection, stage) if e.how == "record"]
            for stage in ("S1", "S2", "S3")
        }
    which = "was made while plan 2 was being made, which does not know of it"
    assert flags == {
        "S1": [f"version {seen + 1}, an entry into hours_worked by bob, {which}"],
        "S2": [],
        "S3": [f"version {seen + 2}, an entry into requirements by olga, {which}"],
    }


def test_a_backup_brings_records_and_marks_of_forms_back(
    branch_store: Store, source: str, new_source: Callable[[], str], tmp_path: Path
) -> None:
    nonce = new_nonce()
    keep(branch_store, reading())
    with taken_once(branch_store, nonce, "ann", AT) as connection:
        add_records(connection, [tick("rail", True)], "ann", AT)
    back_up(place_of(source), tmp_path / "kept.db")
    again = open_store(restore(tmp_path / "kept.db", new_source()))
    wanted = records_about("S1", ["J1"])
    with branch_store.read() as one, again.read() as other:
        assert found_records(one, wanted) == found_records(other, wanted)
    with pytest.raises(SentBefore), taken_once(again, nonce, "ann", AT):
        pass
    keep(again, tick("rail", False))  # a server numbers on after what was copied
    with again.read() as connection:
        assert not ticks_of(connection, "S1", DAY)["rail"].ticked


def test_a_form_is_taken_in_once_and_one_that_failed_may_be_sent_again(
    branch_store: Store,
) -> None:
    nonce = new_nonce()
    wrong = NewRecord("reading", {}, str(DAY), replaces=99)
    with pytest.raises(NotDone), taken_once(branch_store, nonce, "ann", AT) as connection:
        add_records(connection, [reading(), wrong], "ann", AT)
    for _ in range(2):
        try:
            with taken_once(branch_store, nonce, "ann", AT) as connection:
                add_records(connection, [reading()], "ann", AT)
        except SentBefore:
            break
    with branch_store.read() as connection:
        assert len(readings_on(connection, DAY)) == 1
    with (
        pytest.raises(NotDone, match="no mark of this board"),
        taken_once(branch_store, "x' OR 1=1", "ann", AT),
    ):
        pass


@pytest.mark.parametrize("person", ["Ann", 'Jo "Red" O\'Hara', "100%_sure\\", "Zo\u00eb"])
def test_hours_of_a_day_are_found_on_whatever_stage_for_the_people_asked_about(
    branch_store: Store, tmp_path: Path, person: str
) -> None:
    people = (BASE / "people.csv").read_text(encoding="utf-8")
    for who in {person, f"{person}e"} - {"Ann"}:
        quoted = who.replace('"', '""')
        people += f'"{quoted}",Blue,installer,40\n'
    tables_into(branch_store, tmp_path / "p", people=people)
    for day, stage, who in (
        ("2026-05-04", "S1", person),
        ("2026-05-04", "S3", person),
        ("2026-05-04", "S1", f"{person}e"),
        ("2026-05-05", "S1", person),
    ):
        row = {**HOURS, "day": day, "stage": stage, "person": who, "note": f'with "{person}"'}
        enter(branch_store, "hours_worked", row, "bob", AT)
    with branch_store.read() as connection:
        theirs = hours_of_day(connection, DAY, {person})
        assert [(row.stage, row.person) for row in theirs] == [("S1", person), ("S3", person)]
        assert hours_of_day(connection, DAY, ()) == ()
        assert hours_of_day(connection, DAY, {"nobody"}) == ()


def test_a_crew_hears_its_own_readings_and_all_those_on_its_stages_and_jobs(
    branch_store: Store,
) -> None:
    for stage, job, crew in (
        ("S9", "J9", "Blue"), ("S1", "J9", "Red"), ("", "J1", "Red"), ("S9", "J9", "Red"),
    ):  # fmt: skip
        keep(branch_store, NewRecord("reading", GUST, str(DAY), stage, job, crew))
    with branch_store.read() as connection:
        heard = readings_on(connection, DAY, crew="Blue", stages={"S1"}, jobs={"J1"})
        assert [one.id for one in heard] == [1, 2, 3]
        assert [one.id for one in readings_on(connection, DAY, crew="Blue")] == [1]
        assert [one.id for one in readings_on(connection, DAY)] == [1, 2, 3, 4]
    keep(branch_store, NewRecord("reading", {"why": "entered wrongly"}, str(DAY), replaces=2))
    with branch_store.read() as connection:
        heard = readings_on(connection, DAY, crew="Blue", stages={"S1"}, jobs={"J1"})
    assert [one.id for one in heard] == [1, 3]


def test_records_are_found_by_indexes(tmp_path: Path) -> None:
    """By SQLite's plan, which is the same with few rows as with many."""
    readings = select(RECORDS).where(RECORDS.c.kind == "reading", RECORDS.c.day == "2026-05-04")
    ticks = readings.where(RECORDS.c.stage == "S1")
    with open_store(place_of(tmp_path), create=True).read() as connection:
        for wanted in (readings, ticks, records_about("S1", ["J1"])):
            text = wanted.compile(connection, compile_kwargs={"literal_binds": True})
            told = [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}")]
            assert any("records_by_" in line for line in told)
            assert not any(line.startswith("SCAN") for line in told)


_WRITER = """
import sys, threading
from datetime import UTC, datetime
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from crewplan.store.records import NewRecord, add_records
from crewplan.store.sent_forms import new_nonce, taken_once
source, name, threads, each = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
faults = []
def work(number):
    store = open_store(place_of(source))
    try:
        for at in range(each):
            new = NewRecord("tick", {"item": f"{name}-{number}-{at}", "ticked": True}, "2026-05-04", "S1")
            with taken_once(store, new_nonce(), name, datetime.now(UTC)) as connection:
                add_records(connection, [new], name, datetime.now(UTC))
    except BaseException as error:
        faults.append(repr(error))
all_of_them = [threading.Thread(target=work, args=(number,)) for number in range(threads)]
for one in all_of_them: one.start()
for one in all_of_them: one.join()
print(faults)
"""  # noqa: E501


def test_two_processes_and_twenty_threads_lose_no_record_and_nobody_is_told_locked(
    branch_store: Store, source: str
) -> None:
    running = [
        subprocess.Popen(
            [sys.executable, "-c", _WRITER, source, f"p{number}", "10", "3"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
        )
        for number in range(2)
    ]
    ends = [process.communicate(timeout=120) for process in running]
    assert [(out.strip(), err) for out, err in ends] == [("[]", "")] * 2
    with branch_store.read() as connection:
        found = ticks_of(connection, "S1", DAY)
        forms = connection.execute(select(func.count()).select_from(SENT_FORMS)).scalar_one()
    assert sorted(found) == sorted(
        f"p{process}-{thread}-{at}"
        for process in range(2)
        for thread in range(10)
        for at in range(3)
    )
    assert forms == 60


def test_a_record_of_a_version_that_is_not_there_is_refused(branch_store: Store) -> None:
    values = {"kind": "tick", "made_at": "x", "made_by": "x", "version": 99, "contents": "{}"}
    with pytest.raises(StoreFault), branch_store.write() as connection:
        connection.execute(insert(RECORDS), values)
