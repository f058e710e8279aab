"""Each import is a version that stays; files that merely are old undo nobody's entry."""

import json
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import select
from store_cases import (
    AT,
    BASE,
    PLAN,
    folder_with,
    look,
    now_in,
    stored_rows,
    tables_into,
    take_in,
    without,
)

from crewplan.intake import InputFaults, read_folder
from crewplan.store.cells import columns_of, row_of
from crewplan.store.connecting import Store
from crewplan.store.entering import edit, enter
from crewplan.store.import_text import change_lines, stuck_lines
from crewplan.store.reading import read_branch
from crewplan.store.rows import json_text, stored
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.versions import version_at
from crewplan.store.weather_blob import digest

HOURS = {"day": "2026-05-04", "stage": "S1", "person": "Ann", "hours": "3.5"}


def test_a_branch_comes_back_as_its_tables_would_be_read(branch_store: Store, source: str) -> None:
    from_files = read_folder(BASE)
    from_store = read_branch(source)
    for name in ("settings", "present", "people", "crews", "jobs", "planes", "stages"):
        assert getattr(from_store, name) == getattr(from_files, name)
    for name in ("requirements", "steps", "rates", "modules", "racking", "factors", "warnings"):
        assert getattr(from_store, name) == getattr(from_files, name)
    assert digest(from_store.weather) == digest(from_files.weather)


def test_rows_from_before_a_column_was_added_have_its_default(branch_store: Store) -> None:
    """Rows are kept by position, and new columns come last: an older row is a shorter one."""
    before = now_in(branch_store).rows
    with branch_store.read() as connection:
        found = connection.execute(select(TABLE_ROWS).where(TABLE_ROWS.c.table_name == "jobs"))
        whole = found.first()
    assert whole is not None
    short = SimpleNamespace(**whole._mapping)
    short.cells = json_text(json.loads(short.cells)[:-2])
    short.file_cells = short.cells
    read = stored(short)
    assert len(read.cells) == len(columns_of("jobs"))
    assert read.cells[-2:] == ("1", "")  # wind_factor and its source
    assert read.file_cells == read.cells
    assert row_of("jobs", read.cells) == before["jobs"][0]


def test_an_older_version_is_given_back_as_it_was(branch_store: Store, tmp_path: Path) -> None:
    first = now_in(branch_store)
    folder = folder_with(tmp_path / "b")
    jobs = (folder / "jobs.csv").read_text().replace("2026-05-08", "2026-05-15")
    assert tables_into(branch_store, tmp_path / "b", jobs=jobs) == 2
    assert now_in(branch_store).rows["jobs"] != first.rows["jobs"]
    assert now_in(branch_store, 1).rows == first.rows


def test_who_when_and_the_contents_hash_are_kept(branch_store: Store) -> None:
    with branch_store.read() as connection:
        version = version_at(connection, 1)
    assert (version.made_by, version.kind, version.made_at[:19]) == (
        "ann",
        "import",
        "2026-05-03T23:00:00",
    )
    assert len(version.digest) == 64
    assert {"jobs", "weather", "branch.toml"} <= version.details["files"].keys()


def test_what_changed_is_told_by_row_and_cell(branch_store: Store, tmp_path: Path) -> None:
    folder = folder_with(tmp_path / "b")
    (folder / "jobs.csv").write_text(
        (folder / "jobs.csv").read_text().replace("2026-05-08", "2026-05-15")
    )
    people = (folder / "people.csv").read_text()
    (folder / "people.csv").write_text(people.replace("Bob,", "Bert,"))
    lines = change_lines(look(branch_store, folder))
    assert lines == [
        "jobs: 1 row changed",
        "  changed J1: due_on 2026-05-08 -> 2026-05-15",
        "people: 1 row added, 1 row gone",
        "  gone Bob",
        "  new Bert",
    ]


def test_the_same_tables_again_make_no_version(branch_store: Store, tmp_path: Path) -> None:
    assert not look(branch_store, folder_with(tmp_path / "b")).is_change


def test_rows_in_another_order_come_back_in_that_order(branch_store: Store, tmp_path: Path) -> None:
    folder = folder_with(tmp_path / "b")
    head, *rows = (folder / "people.csv").read_text().splitlines()
    tables_into(branch_store, folder, people="\n".join([head, *reversed(rows)]) + "\n")
    assert [row.person for row in now_in(branch_store).rows["people"]] == ["Cid", "Bob", "Ann"]
    assert {row.changed_in for row in stored_rows(branch_store, "people")} == {1}


def test_an_entry_stays_where_the_file_is_as_it_was(branch_store: Store, tmp_path: Path) -> None:
    edit(
        branch_store,
        "requirements",
        ("J2", "permit"),
        {"state": "granted", "granted_on": "2026-05-02"},
        "office",
        AT,
        expected_version=1,
    )
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    folder = folder_with(tmp_path / "b")
    jobs = (folder / "jobs.csv").read_text().replace("2026-05-08", "2026-05-15")
    tables_into(branch_store, folder, jobs=jobs)
    states = {(r.job, r.kind): r.state for r in now_in(branch_store).rows["requirements"]}
    assert states["J2", "permit"] == "granted"
    assert [row.hours for row in now_in(branch_store).rows["hours_worked"]] == [3.5]


def test_a_file_that_was_changed_counts_over_the_entry(branch_store: Store, tmp_path: Path) -> None:
    edit(
        branch_store,
        "requirements",
        ("J2", "permit"),
        {"state": "granted"},
        "office",
        AT,
        expected_version=1,
    )
    folder = folder_with(tmp_path / "b")
    text = (folder / "requirements.csv").read_text()
    tables_into(
        branch_store, folder, requirements=text.replace("J2,permit,asked", "J2,permit,refused")
    )
    states = {(r.job, r.kind): r.state for r in now_in(branch_store).rows["requirements"]}
    assert states["J2", "permit"] == "refused"


def test_a_corrected_hour_stays_corrected_when_its_old_file_comes_again(
    branch_store: Store, tmp_path: Path
) -> None:
    hours = "day,stage,step,person,hours\n2026-05-04,S1,,Ann,5\n2026-05-04,S1,,Ann,5\n"
    tables_into(branch_store, tmp_path / "b", hours_worked=hours)
    row = stored_rows(branch_store, "hours_worked")[0]
    edit(branch_store, "hours_worked", row.id, {"hours": "4"}, "ann", AT, expected_version=2)
    assert not look(branch_store, tmp_path / "b").is_change
    assert [row.hours for row in now_in(branch_store).rows["hours_worked"]] == [4, 5]


@pytest.mark.parametrize("on_it", ["hours_worked", "progress", "plan"])
def test_a_stage_with_something_on_it_does_not_vanish_unasked(
    branch_store: Store, tmp_path: Path, on_it: str
) -> None:
    folder = folder_with(tmp_path / "b")
    if on_it == "hours_worked":
        enter(branch_store, "hours_worked", {**HOURS, "stage": "S4"}, "bob", AT)
    elif on_it == "progress":
        values = {"day": "2026-05-04", "stage": "S4", "step": "rails", "share_done": "0.5"}
        enter(branch_store, "progress", values, "bob", AT)
    else:
        tables_into(branch_store, tmp_path / "p", plan=PLAN.replace("S1,", "S4,"))
    (folder / "stages.csv").write_text(without(folder, "stages", "S4"))
    draft = look(branch_store, folder)
    assert stuck_lines(draft) == [
        f"stage S4 is gone from the tables and has {on_it} in the database; "
        "put it back, or give it up with --drop S4"
    ]
    take_in(branch_store, folder, drop=["S4"])
    assert "S4" not in {row.stage for row in now_in(branch_store).rows["stages"]}
    assert now_in(branch_store).rows.get(on_it, ()) == ()
    before = now_in(branch_store, 2).rows[on_it]
    assert [row.stage for row in before] == ["S4"]


def test_entries_and_tables_that_do_not_go_together_are_faults(
    branch_store: Store, tmp_path: Path
) -> None:
    tables_into(branch_store, tmp_path / "b", plan=PLAN)
    folder = folder_with(tmp_path / "c")  # without a plan of its own, and without the crew
    (folder / "plan.csv").write_text(PLAN)
    (folder / "crews.csv").write_text(without(folder, "crews", "Blue"))
    (folder / "people.csv").write_text(without(folder, "people", "Blue"))
    with pytest.raises(InputFaults, match="Blue"):
        look(branch_store, folder)


def test_a_clock_set_by_hand_does_not_come_into_a_database(
    new_source: Callable[[], str], store: Store
) -> None:
    from crewplan.running.demo import demo_folder

    take_in(store, demo_folder())
    own = now_in(store)
    assert own.settings.demo is None
    assert any("the clock set by hand" in told for told in own.warnings)
