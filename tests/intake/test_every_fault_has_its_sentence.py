"""Each folder in tests/faults holds what differs from its `_base`, and the sentence to give."""

import hashlib
from pathlib import Path

import pytest
from folders import FAULTS, base, with_fault

from crewplan.intake import InputFaults, read_folder

NAMES = sorted(path.name for path in FAULTS.iterdir() if not path.name.startswith("_"))


def _contents(folder: Path) -> dict[str, str]:
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_folder_that_all_faults_start_from_has_none(tmp_path: Path) -> None:
    assert read_folder(base(tmp_path / "branch")).warnings == ()


def test_there_is_a_folder_for_each_of_many_faults() -> None:
    assert len(NAMES) >= 60


@pytest.mark.parametrize("name", NAMES)
def test_a_fault_is_told_in_exactly_its_sentence_and_nothing_is_written(
    name: str, tmp_path: Path
) -> None:
    folder = with_fault(name, tmp_path / "branch")
    before = _contents(folder)
    with pytest.raises(InputFaults) as told:
        read_folder(folder)
    expected = (FAULTS / name / "expected.txt").read_text(encoding="utf-8")
    assert str(told.value) + "\n" == expected
    assert _contents(folder) == before


def test_twelve_faults_in_several_files_come_in_one_report(tmp_path: Path) -> None:
    with pytest.raises(InputFaults) as told:
        read_folder(with_fault("twelve_in_five_files", tmp_path / "branch"))
    faults = told.value.faults
    assert len(faults) == 12
    assert {fault.file for fault in faults} == {
        "branch.toml",
        "people.csv",
        "jobs.csv",
        "stages.csv",
        "weather.csv",
    }
    kind = next(fault for fault in faults if fault.column == "kind")
    assert (kind.file, kind.row, kind.value) == ("stages.csv", 2, "rof")
    assert kind.expected == "one of roof, electrical, inspection, commissioning, return"
