"""Only the demo's own tables may set the clock by hand."""

import shutil
from pathlib import Path

import pytest
from folders import to_workbook

from crewplan.intake import InputFaults, read_folder
from crewplan.intake.demo_mark import demo_digest, tables_digest

DEMO = Path(__file__).parents[2] / "demo_data"


def _copy(tmp_path: Path) -> Path:
    return Path(shutil.copytree(DEMO, tmp_path / "demo"))


def test_the_mark_beside_the_demo_is_that_of_its_tables() -> None:
    assert tables_digest(DEMO) == demo_digest()


def test_a_copy_with_another_plan_notes_and_line_ends_is_still_the_demo(tmp_path: Path) -> None:
    folder = _copy(tmp_path)
    (folder / "plan.csv").write_text("stage,crew,start_on\n", encoding="utf-8")
    (folder / "plan.20260503T230000Z.csv").write_text("former\n", encoding="utf-8")
    (folder / "README.md").write_text("changed\n", encoding="utf-8")
    crews = folder / "crews.csv"
    crews.write_bytes(crews.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n"))
    assert tables_digest(folder) == demo_digest()
    assert read_folder(folder).settings.demo is not None


@pytest.mark.parametrize("change", ["a cell", "a row twice", "a table less"])
def test_a_copy_with_other_tables_is_not(change: str, tmp_path: Path) -> None:
    folder = _copy(tmp_path)
    people = folder / "people.csv"
    text = people.read_text(encoding="utf-8")
    if change == "a cell":
        people.write_text(text.replace(",lead,", ",installer,", 1), encoding="utf-8")
    elif change == "a row twice":
        people.write_text(text + text.splitlines()[-1] + "\n", encoding="utf-8")
    else:
        (folder / "absences.csv").unlink()
    with pytest.raises(InputFaults, match="tables that are not the demo's own"):
        read_folder(folder)


def test_the_demo_as_a_workbook_is_still_the_demo(tmp_path: Path) -> None:
    folder = _copy(tmp_path)
    to_workbook(folder)
    assert tables_digest(folder) == demo_digest()
