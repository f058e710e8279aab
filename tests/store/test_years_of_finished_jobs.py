"""After years nearly all jobs are finished: they cost a plan nothing, and change nothing in it."""

import json
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from grown_demo import Years, grown
from query_plans import QueryPlan, query_plans
from sqlalchemy import select, text, update
from store_cases import AT, folder_with, stored_rows, tables_into, take_in

from crewplan.intake import OwnTables
from crewplan.intake.package_rows import package_rows
from crewplan.ledger.missed_parts import MISSED, since
from crewplan.model.hours_so_far import hours_so_far
from crewplan.publishing.plan_json import plan_json
from crewplan.publishing.ready_json import calls_json, ready_json
from crewplan.running.clock import Clock
from crewplan.running.readying import ask_ready
from crewplan.running.week import plan_week
from crewplan.store.backup import back_up, restore
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, enter, enter_rows
from crewplan.store.following import Follower, kinds_since, tables_since
from crewplan.store.hours_sums import kept_hours
from crewplan.store.importing import accept, look_at
from crewplan.store.migrating import migrate
from crewplan.store.open_work import open_work, standing_rows
from crewplan.store.place import place_of
from crewplan.store.reading import read_branch, read_open_branch
from crewplan.store.recent import hours_lost_for, hours_of_day, hours_of_stage, progress_of_stage
from crewplan.store.schema import JOB_STATES, REVISIONS, TABLE_ROWS

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
"""The demo's Sunday evening."""
ROOF_STEPS = tuple(row.step for row in package_rows("steps") if row.kind == "roof")


def _in(store: Store, own: OwnTables) -> None:
    with store.write() as connection:
        accept(connection, look_at(connection, own), "ann", AT)


@pytest.fixture
def with_years(store: Store) -> Store:
    """The demo with 40 finished jobs of five years, and a plan with a pin."""
    own = grown(7, 85, Years(jobs=40, hours=2_000, lead_times=50))
    pinned = tuple(replace(row, pinned=place == 0) for place, row in enumerate(own.rows["plan"]))
    _in(store, replace(own, rows={**own.rows, "plan": pinned}))
    return store


def _sums(store: Store) -> Any:
    with store.read() as connection:
        return kept_hours(connection, [row.cells[0] for row in stored_rows(store, "stages")])


def _open(store: Store) -> set[str]:
    with store.read() as connection:
        states = connection.execute(select(JOB_STATES)).all()
    return {row.job for row in states if row.finished_on is None}


def test_the_plan_without_finished_jobs_is_the_one_from_the_whole_record(
    with_years: Store, source: str
) -> None:
    whole, part = read_branch(source, NOW), read_open_branch(source, NOW)
    assert (len(whole.jobs), len(part.jobs)) == (90, 50)  # 40 finished, and the demo's 50
    assert part.hours_worked == ()
    clock = Clock(NOW, "set by hand")
    # long enough that no slow machine stops the search before its gap
    weeks = (plan_week(branch, clock, seconds=300) for branch in (whole, part))
    made = [plan_json(week.plan, "now") for week in weeks]
    assert made[0] == made[1]
    assert len(made[0]["done"]) == 80 + 20  # the demo's own, by its README's jobs J01 to J12
    assert whole.warnings == part.warnings


def test_what_stages_wait_for_is_the_same_too(with_years: Store, source: str) -> None:
    clock = Clock(NOW, "set by hand")
    whole = ask_ready(read_branch(source, NOW), clock)
    part = ask_ready(read_open_branch(source, NOW), clock)
    assert ready_json(whole) == ready_json(part)
    assert calls_json(whole) == calls_json(part)


def test_a_finished_stage_or_job_that_is_asked_for_is_read_all_the_same(
    with_years: Store, source: str
) -> None:
    by_stage = read_open_branch(source, NOW, stages=("H00007-roof",))
    by_job = read_open_branch(source, NOW, jobs=("H00007",))
    assert [row.job for row in by_stage.jobs if row.job.startswith("H")] == ["H00007"]
    assert by_stage.jobs == by_job.jobs
    assert not set(by_job.finished) & {row.stage for row in by_job.stages}
    assert read_open_branch(source, NOW, jobs=("none",)).jobs == read_open_branch(source, NOW).jobs


def _progress(store: Store, stage: str, day: str, steps: tuple[str, ...], share: str = "1") -> None:
    for step in steps:
        row = {"day": day, "stage": stage, "step": step, "share_done": share}
        enter(store, "progress", row, "bob", AT)


def _done(store: Store) -> None:
    """All of job J1: its roof on the 5th, its electrical work on the 6th."""
    _progress(store, "S1", "2026-05-05", ROOF_STEPS)
    _progress(store, "S2", "2026-05-06", ("conduit_and_disconnects", "connect_and_label"))


def _jobs_on(source: str, day: int) -> list[str]:
    noon = datetime(2026, 5, day, 17, 0, tzinfo=UTC)
    return [row.job for row in read_open_branch(source, noon).jobs]


def test_a_job_is_finished_from_the_day_on_which_its_last_step_was_seen_done(
    branch_store: Store, source: str
) -> None:
    _progress(branch_store, "S1", "2026-05-05", ROOF_STEPS)
    assert _jobs_on(source, 20) == ["J1", "J2"]
    _progress(branch_store, "S2", "2026-05-06", ("conduit_and_disconnects", "connect_and_label"))
    assert _jobs_on(source, 5) == ["J1", "J2"]
    assert _jobs_on(source, 6) == ["J2"]
    assert read_open_branch(source, NOW.replace(day=20)).finished == ("S1", "S2")


def test_a_correction_opens_a_finished_job_again(branch_store: Store, source: str) -> None:
    _done(branch_store)
    key = ("2026-05-06", "S2", "connect_and_label")
    edit(branch_store, "progress", key, {"share_done": "0.5"}, "ann", AT, expected_version=99)
    assert _jobs_on(source, 20) == ["J1", "J2"]


def test_a_further_stage_or_step_opens_a_finished_job_again(
    branch_store: Store, source: str, tmp_path: Path
) -> None:
    _done(branch_store)
    assert _open(branch_store) == {"J2"}
    stages = (folder_with(tmp_path / "a") / "stages.csv").read_text()
    tables_into(branch_store, tmp_path / "b", stages=stages + "S9,J1,return,,,,,1,\n")
    assert _jobs_on(source, 20) == ["J1", "J2"]
    tables_into(branch_store, tmp_path / "c")
    assert _jobs_on(source, 20) == ["J2"]
    rates = "step,driver,hours_per_unit,spread,source\npanel_upgrade,system,2,0.3,assumed\n"
    tables_into(branch_store, tmp_path / "d", rates=rates)
    assert _jobs_on(source, 20) == ["J1", "J2"]


def test_a_job_without_stages_is_open(branch_store: Store, source: str, tmp_path: Path) -> None:
    stages = "stage,job,kind\nS1,J1,roof\n"
    tables_into(branch_store, tmp_path / "b", stages=stages)
    assert _jobs_on(source, 20) == ["J1", "J2"]


def test_a_job_that_is_gone_leaves_nothing_behind(
    branch_store: Store, source: str, tmp_path: Path
) -> None:
    _done(branch_store)
    base = folder_with(tmp_path / "a")
    cut = {
        name: "".join(
            line
            for line in (base / f"{name}.csv").read_text().splitlines(keepends=True)
            if not {"J1", "S1", "S2"} & set(line.split(","))
        )
        for name in ("jobs", "planes", "stages", "requirements")
    }
    take_in(branch_store, folder_with(tmp_path / "b", **cut), drop=("S1", "S2"))
    with branch_store.read() as connection:
        assert set(connection.execute(select(JOB_STATES.c.job)).scalars()) == {"J2"}


def test_a_finished_job_that_an_open_stage_comes_after_is_read(
    branch_store: Store, source: str, tmp_path: Path
) -> None:
    _done(branch_store)
    stages = (folder_with(tmp_path / "a") / "stages.csv").read_text()
    chained = stages.replace("S3,J2,roof,,", "S3,J2,roof,S2,")
    tables_into(branch_store, tmp_path / "b", stages=chained)
    part = read_open_branch(source, NOW.replace(day=20))
    assert [row.job for row in part.jobs] == ["J1", "J2"]
    assert part.finished == ()


def test_other_rules_of_the_program_are_worked_out_before_anything_is_left_out(
    branch_store: Store, source: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    _done(branch_store)
    real = package_rows

    def heavier(name: str) -> tuple[Any, ...]:
        rows = real(name)
        if name != "steps":
            return rows
        return (*rows, replace(rows[0], step="extra"))

    for module in ("crewplan.store.finished", "crewplan.intake.package_rows"):
        monkeypatch.setattr(f"{module}.package_rows", heavier)
    rate = replace(real("rates")[0], step="extra")
    monkeypatch.setattr(
        "crewplan.intake.package_rows.package_rows",
        lambda name: (*real(name), rate) if name == "rates" else heavier(name),
    )
    assert _jobs_on(source, 20) == ["J1", "J2"]


def test_sums_of_hours_are_those_of_the_rows_whatever_was_entered_and_imported(
    branch_store: Store, source: str, tmp_path: Path
) -> None:
    rows = [("S1", "Ann", "3.5", ""), ("S1", "Bob", "0.1", "weather"), ("S3", "Ann", "2", "")]
    for stage, person, hours, cause in rows:
        row = {"day": "2026-05-04", "stage": stage, "person": person, "hours": hours}
        enter(branch_store, "hours_worked", {**row, "cause": cause}, "bob", AT)
    first = stored_rows(branch_store, "hours_worked")[0]
    change = {"hours": "4.2", "cause": "rework"}
    edit(branch_store, "hours_worked", first.id, change, "ann", AT, expected_version=99)
    text_of = "day,stage,person,hours\n2026-05-01,S2,Ann,7\n2026-05-01,S2,Ann,7\n"
    tables_into(branch_store, tmp_path / "b", hours_worked=text_of)
    tables_into(branch_store, tmp_path / "c", hours_worked="day,stage,person,hours\n")
    tables_into(branch_store, tmp_path / "d", hours_worked=text_of)
    assert _sums(branch_store) == hours_so_far(read_branch(source).hours_worked)
    assert _sums(branch_store).of_people == {
        ("Ann", "rework"): 4_200_000,
        ("Bob", "weather"): 100_000,
        ("Ann", ""): 16_000_000,  # 2 + 7 + 7
    }


def test_records_of_days_to_come_are_warned_of_as_from_the_whole_record(
    with_years: Store, source: str
) -> None:
    early = datetime(2026, 2, 3, 23, 0, tzinfo=UTC)
    warnings = read_open_branch(source, early).warnings
    assert any(words.startswith("hours_worked, row ") for words in warnings)
    assert any(words.startswith("progress, row ") for words in warnings)
    assert warnings == read_branch(source, early).warnings


def test_an_older_database_is_filled_when_it_is_opened(with_years: Store, source: str) -> None:
    before, sums = read_open_branch(source, NOW), _sums(with_years)
    days = {row.id: row.cells[0] for row in stored_rows(with_years, "hours_worked")}
    migrate(with_years, REVISIONS[REVISIONS.index("0005") - 1])
    again = open_store(place_of(source))
    assert _sums(again) == sums
    wanted = text("SELECT id, day FROM table_rows WHERE table_name = 'hours_worked'")
    with again.read() as connection:
        assert {row.id: row.day for row in connection.execute(wanted)} == days
        other = text("SELECT DISTINCT day FROM table_rows WHERE table_name = 'jobs'")
        assert connection.execute(other).scalars().all() == [""]
    after = read_open_branch(source, NOW)
    assert (after.jobs, after.finished, after.plan) == (before.jobs, before.finished, before.plan)
    assert len(after.finished) == 80


def test_rows_from_before_a_table_had_all_of_its_columns_are_read_too(
    branch_store: Store, source: str
) -> None:
    before = read_open_branch(source, NOW).requirements
    rows = stored_rows(branch_store, "requirements")
    with branch_store.write() as connection:
        on = "" if branch_store.sqlite else " ON table_rows"
        connection.execute(text(f"DROP TRIGGER table_rows_keep{on}"))
        change = update(TABLE_ROWS).where(TABLE_ROWS.c.table_name == "requirements")
        for row in rows:
            short = json.dumps(row.cells[:-1])  # the last column is empty in all rows
            connection.execute(change.where(TABLE_ROWS.c.id == row.id).values(cells=short))
    assert read_open_branch(source, NOW).requirements == before


def test_what_was_written_is_still_never_altered_its_day_neither(branch_store: Store) -> None:
    for change in ("day = '2026-05-09'", "cells = '[]'", "day = 'x', last_version = 1"):
        with pytest.raises(Exception, match="never changed"), branch_store.write() as connection:
            connection.execute(text(f"UPDATE table_rows SET {change}"))


def _all_that_pages_ask(source: str) -> Any:
    follower = Follower(open_store(place_of(source)))

    def ask(connection: Any) -> None:
        found = open_work(connection, NOW, warn=True, stages=("H00007-roof",)).own.rows
        stages = [row.stage for row in found["stages"]]
        kept_hours(connection, stages)
        standing_rows(connection, "requirements", job=[row.job for row in found["jobs"]])
        standing_rows(connection, "plan", stage=stages)
        hours_of_stage(connection, "J19-roof")
        progress_of_stage(connection, "J19-roof")
        hours_of_day(connection, NOW.date(), {"Ann"})
        hours_lost_for(connection, MISSED, since(NOW.date()), NOW.date())
        for wanted in (kinds_since(1), tables_since(1)):
            connection.execute(wanted).all()
        follower.newest()

    return ask


def _walks_a_record(one: QueryPlan) -> bool:
    """Whether years of hours or progress are gone through row by row, though by an index."""
    of_record = "hours_worked" in one.parameters or "'progress'" in one.parameters
    counts = "count(" in one.statement  # of records of days to come, where there are any
    return of_record and "table_rows_by_table" in one.plan and not counts


def test_no_question_of_a_plan_or_page_reads_all_rows(with_years: Store, source: str) -> None:
    plans = query_plans(with_years, _all_that_pages_ask(source))
    assert len(plans) >= 18
    for table in ("table_rows", "whole_tables"):
        assert [one for one in plans if one.reads_all(table)] == []
    # which index a server takes depends on how many rows there are; store_five_years.py shows it
    if with_years.sqlite:
        told = "\n".join(one.plan for one in plans)
        named = (
            "table_rows_by_job", "table_rows_by_stage", "table_rows_by_day",
            "table_rows_by_version", "job_states_by_end", "whole_tables_by_life",
            "versions_by_kind",
        )  # fmt: skip
        assert [index for index in named if index not in told] == []
        assert [one for one in plans if _walks_a_record(one)] == []


def test_the_check_on_questions_sees_one_that_does(with_years: Store) -> None:
    worst = text("SELECT count(*) FROM table_rows WHERE cells LIKE '%Ann%'")
    (plan,) = query_plans(with_years, lambda connection: connection.execute(worst).all())
    assert plan.reads_all("table_rows")


def test_writing_a_row_of_progress_looks_for_its_key_by_an_index(with_years: Store) -> None:
    row = {"day": "2026-05-03", "stage": "J19-roof", "step": "rails", "share_done": "0.5"}
    plans = query_plans(with_years, lambda c: enter_rows(c, "progress", [row], "bob", AT))
    assert [one for one in plans if one.reads_all("table_rows")] == []
    told = "\n".join(one.plan for one in plans)
    assert "table_rows_by_key" in told or not with_years.sqlite


def test_a_backup_carries_what_is_kept_beside_the_rows(
    with_years: Store, source: str, new_source: Callable[[], str], tmp_path: Path
) -> None:
    back_up(place_of(source), tmp_path / "kept.db")
    to = new_source()
    restored = open_store(restore(tmp_path / "kept.db", to))
    assert _sums(restored) == _sums(with_years)
    assert read_open_branch(to, NOW).finished == read_open_branch(source, NOW).finished
