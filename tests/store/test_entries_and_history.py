"""Entries add; the second of two edits gets the difference; a stage's whole story can be told."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import delete, update
from store_cases import AT, PLAN, count_versions, folder_with, now_in, stored_rows, tables_into

from crewplan.intake import InputFaults
from crewplan.store.cells import columns_of, row_of
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, enter
from crewplan.store.faults import Conflict, NotDone, StoreFault
from crewplan.store.history import about_stage, history
from crewplan.store.place import place_of
from crewplan.store.rows import stored
from crewplan.store.schema import PLANS, TABLE_ROWS, VERSIONS, WHOLE_TABLES

HOURS = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "3.5"}
PERMIT = ("J2", "permit")


def _grant(store: Store, by: str, day: str, seen: int) -> int:
    values = {"state": "granted", "granted_on": day}
    return edit(store, "requirements", PERMIT, values, by, AT, expected_version=seen)


def test_a_row_from_before_a_column_was_added_reads_as_if_the_cell_were_empty() -> None:
    row = SimpleNamespace(
        id=1, table_name="racking", position=1, changed_in=1, entered=False, first_version=1,
        last_version=None, replaces=None, file_cells=None,
        cells='["rail","6","40","1220","406","4270","60","own"]',
    )  # fmt: skip
    old = stored(row)
    assert len(old.cells) == len(columns_of("racking"))
    rails = row_of("racking", old.cells)
    assert (rails.source, rails.staggered, rails.break_every_mm) == ("own", False, None)


def test_the_second_of_two_edits_gets_the_difference_and_overwrites_nothing(
    branch_store: Store,
) -> None:
    _grant(branch_store, "ann", "2026-05-01", seen=1)
    with pytest.raises(Conflict) as told:
        _grant(branch_store, "bob", "2026-05-02", seen=1)
    assert told.value.who == "ann"
    assert [(d.column, d.seen, d.stored, d.wanted) for d in told.value.differences] == [
        ("state", "asked", "granted", "granted"),
        ("granted_on", "", "2026-05-01", "2026-05-02"),
    ]
    assert "changed by ann" in str(told.value)
    assert stored_rows(branch_store, "requirements")[1].cells[4] == "2026-05-01"


def test_having_seen_the_first_edit_the_second_may_follow(branch_store: Store) -> None:
    version = _grant(branch_store, "ann", "2026-05-01", seen=1)
    assert _grant(branch_store, "bob", "2026-05-02", seen=version) == 3


def test_an_edit_elsewhere_is_no_conflict(branch_store: Store) -> None:
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    assert _grant(branch_store, "ann", "2026-05-01", seen=1) == 3


def test_two_corrections_of_one_hour_conflict_too(branch_store: Store) -> None:
    seen = enter(branch_store, "hours_worked", HOURS, "bob", AT)
    row = stored_rows(branch_store, "hours_worked")[0].id
    edit(branch_store, "hours_worked", row, {"hours": "4"}, "bob", AT, expected_version=seen)
    with pytest.raises(Conflict, match=r"hours was 3\.5, is now 4, you wrote 5"):
        edit(branch_store, "hours_worked", row, {"hours": "5"}, "cid", AT, expected_version=seen)


def test_a_correction_adds_and_the_former_entry_can_still_be_read(branch_store: Store) -> None:
    seen = enter(branch_store, "hours_worked", HOURS, "bob", AT)
    row = stored_rows(branch_store, "hours_worked")[0].id
    edit(branch_store, "hours_worked", row, {"hours": "4"}, "bob", AT, expected_version=seen)
    assert [r.hours for r in now_in(branch_store).rows["hours_worked"]] == [4]
    assert [r.hours for r in now_in(branch_store, seen).rows["hours_worked"]] == [3.5]


@pytest.mark.parametrize(
    ("table", "values", "told"),
    [
        ("hours_worked", {**HOURS, "hours": "25"}, "hours"),
        ("hours_worked", {**HOURS, "stage": "S99"}, "S99"),
        ("hours_worked", {**HOURS, "hours": ""}, "hours"),
        ("hours_worked", {**HOURS, "hour": "3"}, "no such column"),
        ("hours_worked", {**HOURS, "note": "a\0b"}, "note"),
        (
            "progress",
            {"day": "2026-05-04", "stage": "S1", "step": "dance", "share_done": "1"},
            "dance",
        ),
    ],
)
def test_an_entry_is_held_to_the_same_rules_as_a_table(
    branch_store: Store, table: str, values: dict[str, str], told: str
) -> None:
    with pytest.raises(InputFaults, match=told):
        enter(branch_store, table, values, "bob", AT)
    assert count_versions(branch_store) == 1


def test_what_comes_by_an_import_is_not_entered(branch_store: Store) -> None:
    with pytest.raises(NotDone, match="import"):
        enter(branch_store, "people", {"person": "Eve"}, "bob", AT)
    with pytest.raises(NotDone, match="kind"):
        edit(branch_store, "requirements", PERMIT, {"kind": "x"}, "bob", AT, expected_version=1)
    values = {"job": "J2", "kind": "permit", "state": "open"}
    with pytest.raises(NotDone, match="already"):
        enter(branch_store, "requirements", values, "bob", AT)


@pytest.mark.parametrize(
    "statement",
    [
        update(TABLE_ROWS).values(cells="[]"),
        update(TABLE_ROWS).values(last_version=1).where(TABLE_ROWS.c.last_version.is_not(None)),
        delete(TABLE_ROWS),
        update(VERSIONS).values(made_by="somebody else"),
        delete(VERSIONS),
        update(PLANS).values(number=9),
        delete(PLANS),
        delete(WHOLE_TABLES),
    ],
    ids=str,
)
def test_what_was_written_cannot_be_altered_even_by_the_databases_own_language(
    branch_store: Store, tmp_path: Path, statement: object
) -> None:
    tables_into(branch_store, tmp_path / "p", plan=PLAN)
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    _grant(branch_store, "ann", "2026-05-01", seen=2)
    with (
        pytest.raises(StoreFault, match="never changed"),
        branch_store.write() as connection,
    ):
        connection.execute(statement)  # type: ignore[call-overload]


def test_the_history_of_a_stage_tells_all_in_order_of_time(
    branch_store: Store, tmp_path: Path
) -> None:
    folder = folder_with(tmp_path / "b")
    stages = (
        (folder / "stages.csv")
        .read_text()
        .replace("S1,J1,roof,,,roof_anchor,,2", "S1,J1,roof,,,roof_anchor,,3")
    )
    jobs = (folder / "jobs.csv").read_text().replace("2026-05-08", "2026-05-15")
    tables_into(branch_store, folder, by="ann", stages=stages, jobs=jobs, plan=PLAN)
    values = {"pinned": "yes"}
    edit(branch_store, "plan", ("S1", "1"), values, "meg", AT, expected_version=2)
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    row = stored_rows(branch_store, "hours_worked")[0].id
    edit(branch_store, "hours_worked", row, {"hours": "4"}, "bob", AT, expected_version=4)
    with branch_store.read() as connection:
        events = history(connection, "S1")
    told = [(e.version, e.by, e.how, e.table, e.what) for e in events if e.version > 1]
    assert sorted(told[:3]) == [
        (2, "ann", "import", "jobs", "J1 changed: due_on 2026-05-08 -> 2026-05-15"),
        (2, "ann", "import", "plan", "placed on 2026-05-04 am with Blue, 2 half-days"),
        (2, "ann", "import", "stages", "changed: min_people 2 -> 3"),
    ]
    assert told[3:] == [
        (3, "meg", "entry", "plan", "pinned"),
        (4, "bob", "entry", "hours_worked", "added: day 2026-05-04, person Ann, hours 3.5"),
        (5, "bob", "entry", "hours_worked", "changed: hours 3.5 -> 4"),
    ]
    assert {e.table for e in events if e.version == 1} == {
        "stages", "jobs", "planes", "requirements",
    }  # fmt: skip
    assert all(e.at == "2026-05-03T23:00:00Z" for e in events)


def test_a_stage_that_never_was_is_said_so(branch_store: Store) -> None:
    with branch_store.read() as connection, pytest.raises(NotDone, match="never was"):
        history(connection, "S99")


def test_the_history_is_found_by_indexes(tmp_path: Path) -> None:
    """By SQLite's plan, which is the same with few rows as with many."""
    with open_store(place_of(tmp_path), create=True).read() as connection:
        wanted = about_stage("S1", {"J1"}).compile(
            connection, compile_kwargs={"literal_binds": True}
        )
        told = [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {wanted}")]
    assert any("table_rows_by_stage" in line for line in told)
    assert any("table_rows_by_job" in line for line in told)
    assert not any(line.startswith("SCAN") for line in told)
