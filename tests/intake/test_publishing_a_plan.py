"""A published plan is written whole or not at all, and the former one is kept."""

import os
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import pytest
from folders import base

from crewplan.intake import InputFaults, read_folder, write_plan
from crewplan.model.plan_row import PlanRow

NOW = datetime(2026, 5, 3, 23, 0, 5, tzinfo=UTC)
ROWS = (
    PlanRow("S1", "Blue", date(2026, 5, 4), "pm", half_days=3, pinned=True, lent=("Ann", "Bob")),
    PlanRow("S3", "Red", date(2026, 5, 5)),
)


def _files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if "plan." in path.name)


def test_what_is_written_reads_back_as_it_was(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    assert write_plan(folder, ROWS, NOW) == folder / "plan.csv"
    assert read_folder(folder).plan == ROWS
    assert (folder / "plan.csv").read_text(encoding="utf-8").splitlines()[:2] == [
        "stage,part,crew,start_on,start_half,half_days,pinned,lent",
        "S1,1,Blue,2026-05-04,pm,3,yes,Ann;Bob",
    ]


def test_the_former_plan_is_kept_under_the_time_in_utc_also_twice_in_a_second(
    tmp_path: Path,
) -> None:
    folder = base(tmp_path / "b", plan="stage,crew,start_on\nS2,Red,2026-05-04\n")
    former = (folder / "plan.csv").read_bytes()
    write_plan(folder, ROWS, NOW)
    write_plan(folder, (), NOW)
    assert _files(folder) == [
        "plan.20260503T230005Z-2.csv",
        "plan.20260503T230005Z.csv",
        "plan.csv",
    ]
    assert (folder / "plan.20260503T230005Z.csv").read_bytes() == former
    assert read_folder(folder).plan == ()


@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
def test_a_disk_that_refuses_leaves_the_former_plan_as_it_was(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = base(tmp_path / "b", plan="stage,crew,start_on\nS2,Red,2026-05-04\n")
    former = (folder / "plan.csv").read_bytes()

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, step, full)
    if step == "link":
        monkeypatch.setattr("shutil.copy2", full)
    with pytest.raises(OSError, match="No space left"):
        write_plan(folder, ROWS, NOW)
    assert _files(folder) == ["plan.csv"]
    assert (folder / "plan.csv").read_bytes() == former


def test_a_disk_without_links_keeps_a_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = base(tmp_path / "b", plan="stage,crew,start_on\nS2,Red,2026-05-04\n")

    def no_links(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    write_plan(folder, ROWS, NOW)
    assert _files(folder) == ["plan.20260503T230005Z.csv", "plan.csv"]


def test_a_workbook_without_a_plan_gets_plan_csv_beside_it_and_one_with_it_is_refused(
    tmp_path: Path,
) -> None:
    folder = base(tmp_path / "b")
    book = openpyxl.Workbook()
    book.active.title = "Notes"
    book.save(folder / "tables.xlsx")
    write_plan(folder / "tables.xlsx", ROWS, NOW)
    assert _files(folder) == ["plan.csv"]
    book.create_sheet("Plan")
    book.save(folder / "tables.xlsx")
    with pytest.raises(InputFaults) as told:
        write_plan(folder, ROWS, NOW)
    assert str(told.value) == (
        "tables.xlsx, sheet Plan: the plan is a sheet; "
        "expected plan.csv in its place, since a workbook is never written."
    )


def test_whoever_publishes_at_the_same_moment_never_takes_the_others_former_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = base(tmp_path / "b", plan="stage,crew,start_on\nS2,Red,2026-05-04\n")
    former = (folder / "plan.csv").read_bytes()
    link = os.link

    def link_after_another_publisher(source: Path, kept: Path) -> None:
        monkeypatch.setattr(os, "link", link)
        write_plan(folder, ROWS[:1], NOW)
        link(source, kept)

    monkeypatch.setattr(os, "link", link_after_another_publisher)
    write_plan(folder, ROWS, NOW)
    assert (folder / "plan.20260503T230005Z.csv").read_bytes() == former
    assert "S1,1,Blue" in (folder / "plan.20260503T230005Z-2.csv").read_text(encoding="utf-8")
    assert read_folder(folder).plan == ROWS


def test_what_a_killed_publisher_left_behind_stops_nobody(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    (folder / ".plan.0.csv").write_text("stage,cr", encoding="utf-8")
    write_plan(folder, ROWS, NOW)
    assert read_folder(folder).plan == ROWS
    assert read_folder(folder).warnings == ()
