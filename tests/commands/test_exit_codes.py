"""What a person at a terminal gets: exit codes, one line a fault, never a traceback."""

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from at_a_terminal import CREWPLAN, crewplan

from crewplan.running.demo import demo_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo that may be written to; its clock is the demo's."""
    copy = tmp_path / "branch"
    shutil.copytree(demo_folder(), copy, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    return copy


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("no_such_command",), "no_such_command"),
        (("plan",), "FOLDER"),
        (("plan", "x", "--days", "0"), "days"),
        (("plan", "x", "--from", "tomorrow"), "tomorrow"),
        (("gate", "x", "--day", "2026-02-30"), "2026-02-30"),
        (("gate", "x", "--job", "J1", "--crew", "Elm"), "one at a time"),
        (("check", "x", "--now", "2026-05-03T18:00:00"), "UTC offset"),
        (("check", "x", "--now", "noon"), "noon"),
        (("gate", "x", "--exposure", "chimney"), "chimney"),
        (("why", str(demo_folder()), "NOSUCH"), "NOSUCH"),
        (("gate", str(demo_folder()), "--job", "NOSUCH"), "NOSUCH"),
        (("gate", str(demo_folder()), "--crew", "NOSUCH"), "NOSUCH"),
    ],
)
def test_words_that_are_off_exit_64_with_one_line(words: tuple[str, ...], told: str) -> None:
    done = crewplan(*words)
    assert done.returncode == 64
    assert told.lower() in done.stderr.lower()
    assert len(done.stderr.strip().splitlines()) == 1
    assert done.stdout == ""


def test_a_folder_that_is_not_there_exits_2(tmp_path: Path) -> None:
    done = crewplan("plan", tmp_path / "nowhere")
    assert done.returncode == 2
    assert "nowhere" in done.stderr


def test_a_fault_exits_2_and_nothing_is_written(folder: Path) -> None:
    (folder / "branch.toml").write_text(
        (folder / "branch.toml").read_text().split("[demo]")[0], encoding="utf-8"
    )
    stages = folder / "stages.csv"
    stages.write_text(stages.read_text().replace(",roof,", ",rof,", 1), encoding="utf-8")
    before = {path.name: path.stat().st_mtime_ns for path in folder.iterdir()}
    done = crewplan("plan", folder, "--publish", "--now", "2026-05-03T18:00:00-05:00")
    assert done.returncode == 2
    assert "stages.csv" in done.stderr
    assert '"rof"' in done.stderr
    assert {path.name: path.stat().st_mtime_ns for path in folder.iterdir()} == before


def test_publishing_keeps_the_former_plan_and_freezes_the_next_days(folder: Path) -> None:
    former = (folder / "plan.csv").read_text()
    first = crewplan("plan", folder, "--publish", "--format", "json")
    assert first.returncode in (0, 1)
    kept = list(folder.glob("plan.*.csv"))
    assert [path.read_text() for path in kept] == [former]
    again = crewplan("plan", folder, "--format", "json")
    frozen = {"2026-05-04", "2026-05-05"}

    def starts(done: subprocess.CompletedProcess[str]) -> set[tuple[str, str, str, str]]:
        return {
            (p["stage"], p["crew"], p["start_on"], p["start_half"])
            for p in json.loads(done.stdout)["placements"]
            if p["start_on"] in frozen
        }

    assert starts(first) == starts(again)


def test_a_full_disk_leaves_the_former_plan_and_exits_3(folder: Path) -> None:
    if os.geteuid() != 0 or shutil.which("mount") is None:
        pytest.skip("needs root to mount a small disk")
    disk = folder.parent / "disk"
    disk.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", str(disk)], capture_output=True
    )
    if mounted.returncode != 0:
        pytest.skip("this machine does not let a small disk be mounted")
    try:
        inside = disk / "branch"
        shutil.copytree(folder, inside)
        former = (inside / "plan.csv").read_bytes()
        with (disk / "filler").open("wb", buffering=0) as filler:
            try:
                while True:
                    filler.write(b"x" * 4096)
            except OSError:
                pass
        done = crewplan("plan", inside, "--publish")
        assert done.returncode == 3
        assert "plan.csv could not be written" in done.stderr
        assert (inside / "plan.csv").read_bytes() == former
        assert list(inside.glob("plan.*.csv")) == []
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_day_that_is_no_go_exits_1_and_every_answer_is_marked_by_its_clock(folder: Path) -> None:
    done = crewplan("gate", folder, "--day", "2026-05-09", "--format", "json")
    verdicts = json.loads(done.stdout)
    assert [verdict["exposure"] for verdict in verdicts] == ["ground", "roof", "lift"]
    assert {verdict["clock"] for verdict in verdicts} == {"set by hand"}
    assert "not for work" in done.stderr
    assert done.returncode == (1 if any(v["verdict"] != "go" for v in verdicts) else 0)


def test_long_lines_are_neither_wrapped_nor_cut_where_the_output_is_no_terminal() -> None:
    done = crewplan("tables", env={**os.environ, "COLUMNS": "20"})
    assert "…" not in done.stdout
    assert any(len(line) > 120 for line in done.stdout.splitlines())


def test_a_reader_that_stops_reading_is_no_fault() -> None:
    with subprocess.Popen(
        [*CREWPLAN, "tables"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(10)
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()
