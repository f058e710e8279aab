"""What the gate told is kept where there is a database, and told where it cannot be kept."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import select
from store_cases import Done, folder_with, tables_into

from crewplan.store.connecting import Store
from crewplan.store.records import NewRecord, Record, add_records, found_records
from crewplan.store.schema import RECORDS

Run = Callable[..., Done]
NOW = ("--now", "2026-05-03T18:00:00-05:00")
PLAN = "stage,part,crew,start_on,start_half,half_days,pinned\nS1,1,Blue,2026-05-04,am,2,no\n"


def kept(store: Store) -> list[Record]:
    with store.read() as connection:
        return found_records(connection, select(RECORDS).where(RECORDS.c.kind == "verdict"))


def test_what_the_gate_told_is_what_is_kept(
    crewplan: Run, branch_store: Store, source: str, tmp_path: Path
) -> None:
    tables_into(branch_store, tmp_path / "p", plan=PLAN)
    done = crewplan("gate", source, *NOW, "--crew", "Blue", "--format", "json")
    told = json.loads(done.stdout)
    records = kept(branch_store)
    assert [one.contents["exposure"] for one in records] == ["ground", "roof", "lift"]
    for one, verdict in zip(records, told, strict=True):
        assert (one.day, one.stage, one.job, one.crew) == ("2026-05-04", "S1", "J1", "Blue")
        assert one.version == 2
        for name in ("verdict", "why", "windows", "void_after", "asked_at", "clock", "age_h"):
            assert one.contents[name] == verdict[name]
        assert one.contents["hours"] == {hour["hour"]: hour["verdict"] for hour in verdict["hours"]}
        worst = one.contents["worst"]
        assert worst in [
            {name: hour[name] for name in ("hour", "measure", "value", "limit", "unit")}
            for hour in verdict["hours"]
            if hour["verdict"] == verdict["verdict"]
        ]
        assert (one.contents["through"], one.contents["clock"]) == ("gate", "set by hand")
    history = crewplan("history", source, "S1").stdout
    assert "verdicts lift on 2026-05-04: UNKNOWN" in history
    assert "asked at 2026-05-03T18:00 by gate; clock set by hand" in history


def test_a_folder_without_a_database_keeps_nothing(crewplan: Run, tmp_path: Path) -> None:
    folder = folder_with(tmp_path / "b")
    before = sorted(path.name for path in folder.iterdir())
    assert crewplan("gate", folder, *NOW).returncode == 1
    assert sorted(path.name for path in folder.iterdir()) == before


def test_a_database_that_takes_nothing_in_still_lets_the_verdict_be_told(
    crewplan: Run, branch_store: Store, source: str
) -> None:
    with branch_store.write() as connection:
        if branch_store.sqlite:
            connection.exec_driver_sql(
                "CREATE TRIGGER full BEFORE INSERT ON records BEGIN "
                "SELECT RAISE(ABORT, 'database or disk is full'); END"
            )
        else:
            name = connection.exec_driver_sql("SELECT current_database()").scalar()
            connection.exec_driver_sql(
                f'ALTER DATABASE "{name}" SET default_transaction_read_only = on'
            )
    done = crewplan("gate", source, *NOW, "--format", "json")
    assert done.returncode == 1
    assert len(json.loads(done.stdout)) == 3
    warnings = [line for line in done.stderr.splitlines() if line.startswith("warning: ")]
    assert len(warnings) == 1
    assert warnings[0].endswith("nothing was written; the verdict was told and not kept")


def calm_tables() -> dict[str, str]:
    """All that S1 waits for is there, and three calm days are forecast."""
    columns = (
        "valid_at,issued_at,member,wind_mps,gust_mps,rain_mm,temperature_c,humidity_pct,thunder"
    )
    rows = [
        f"2026-05-{day:02}T{hour:02}:00:00-05:00,2026-05-03T18:00:00-05:00,{member},2,4,0,15,50,0"
        for day in (4, 5, 6)
        for hour in range(24)
        for member in (0, 1)
    ]
    return {
        "weather": "\n".join([columns, *rows]) + "\n",
        "certificates": "person,certificate\nAnn,roof_anchor\nBob,roof_anchor\n",
        "requirements": "job,kind,state\nJ1,permit,granted\nJ1,survey,granted\nJ1,kit,granted\n",
    }


def test_the_sheet_keeps_the_verdicts_that_it_prints(
    crewplan: Run, branch_store: Store, source: str, tmp_path: Path
) -> None:
    tables_into(branch_store, tmp_path / "calm", **calm_tables())
    sheet = crewplan("sheet", source, "S1", *NOW)
    records = kept(branch_store)
    assert {(one.contents["through"], one.stage, one.crew) for one in records} == {
        ("sheet", "S1", "Blue")
    }
    assert {one.contents["verdict"] for one in records if one.day == "2026-05-04"} == {"go"}
    assert "GO" in sheet.stdout


def test_a_reading_over_the_limit_shuts_the_gate_of_that_crew_and_of_no_other(
    crewplan: Run, branch_store: Store, source: str, tmp_path: Path
) -> None:
    tables_into(branch_store, tmp_path / "p", plan=PLAN)
    contents = {
        "at": "2026-05-04T07:10:00-05:00", "where": "roof", "unit": "mph",
        "gust": 31.0, "gust_mps": 13.858, "mean": None, "mean_mps": None,
    }  # fmt: skip
    with branch_store.write() as connection:
        new = NewRecord("reading", contents, "2026-05-04", "", "", "Blue")
        add_records(connection, [new], "ann", datetime.fromisoformat(contents["at"]))
    words = ("--now", "2026-05-04T07:20:00-05:00", "--exposure", "lift", "--format", "json")
    [blue] = json.loads(crewplan("gate", source, "--crew", "Blue", *words).stdout)
    [red] = json.loads(crewplan("gate", source, "--crew", "Red", *words).stdout)
    assert blue["verdict"] == "no-go"
    assert blue["why"].startswith("measured on the roof at 07:10: gust 31 mph, over 26 mph")
    assert "measured" not in red["why"]


@pytest.mark.parametrize("shape", ["table", "json", "csv"])
def test_publishing_tells_the_plans_number_and_leaves_answers_for_machines_clean(
    crewplan: Run, branch_store: Store, source: str, shape: str
) -> None:
    done = crewplan("plan", source, *NOW, "--publish", "--format", shape)
    told = "Published as plan 1 (version 2)."
    if shape == "table":
        assert told in done.stdout.splitlines()
    else:
        assert told in done.stderr.splitlines()
        assert told not in done.stdout
    if shape == "json":
        assert "placements" in json.loads(done.stdout)


def test_a_plan_into_a_folder_has_no_number(crewplan: Run, tmp_path: Path) -> None:
    folder = folder_with(tmp_path / "b")
    done = crewplan("plan", folder, *NOW, "--publish")
    assert "Published as plan" not in done.stdout + done.stderr
    assert (folder / "plan.csv").exists()
