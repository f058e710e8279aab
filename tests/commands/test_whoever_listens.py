"""Answers reach whoever listens: pipes that close, full disks, any letters, the board's address."""

import json
import os
import shutil
import signal
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

FAULTS = Path(__file__).parents[1] / "faults"
CREWPLAN = [sys.executable, "-m", "crewplan.cli"]
NOW = ("--now", "2026-05-03T20:00:00-05:00")
MARK = "clock set by hand: not for work"


def _run(*words: str | Path, **kwargs: object) -> subprocess.CompletedProcess[bytes]:
    done = subprocess.run([*CREWPLAN, *map(str, words)], timeout=120, **kwargs)  # type: ignore[call-overload]
    assert b"Traceback" not in (done.stderr or b"")
    return done


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small valid folder."""
    return Path(shutil.copytree(FAULTS / "_base", tmp_path / "branch"))


@pytest.mark.parametrize("command", ["check", "gate"])
def test_a_reader_that_stops_reading_changes_no_exit_code(command: str, folder: Path) -> None:
    read = _run(command, folder, *NOW, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    inlet, outlet = os.pipe()
    os.close(inlet)
    unread = _run(command, folder, *NOW, stdout=outlet, stderr=subprocess.PIPE)
    os.close(outlet)
    assert unread.returncode == read.returncode
    assert unread.stderr == read.stderr


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_an_answer_that_cannot_be_printed_exits_3_in_one_line(folder: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = _run("check", folder, stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 3
    assert done.stderr == (b"crewplan: the answer could not be printed (No space left on device)\n")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1"])
@pytest.mark.parametrize("command", ["check", "gate"])
def test_names_in_any_letters_reach_any_terminal(command: str, encoding: str, folder: Path) -> None:
    for path in folder.iterdir():
        text = path.read_text(encoding="utf-8").replace("Ann", "Zo\u00eb \u65e5\u672c")
        text = text.replace("Invented branch", "Gr\u00f6\u00dfe \u65e5\u672c")
        path.write_text(text, encoding="utf-8")
    env = {**os.environ, "LC_ALL": "C", "PYTHONIOENCODING": encoding}
    done = _run(command, folder, *NOW, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert done.returncode in (0, 1)
    assert done.stdout


@pytest.mark.parametrize("shape", ["table", "json", "csv"])
@pytest.mark.parametrize("words", [("check",), ("plan",), ("gate",), ("why", "S1")])
def test_every_answer_by_a_clock_set_by_hand_says_so(
    words: tuple[str, ...], shape: str, folder: Path
) -> None:
    command, *rest = words
    done = _run(command, folder, *rest, *NOW, "--format", shape, capture_output=True)
    told = (done.stdout if shape == "table" else done.stderr).decode()
    assert MARK in told.splitlines()
    if shape == "json":
        answer = json.loads(done.stdout)
        for one in answer if isinstance(answer, list) else [answer]:
            assert one["clock"] == "set by hand"


def test_the_boards_address_can_be_opened_as_soon_as_it_is_printed(folder: Path) -> None:
    with subprocess.Popen(
        [*CREWPLAN, "board", str(folder), "--port", "0", *NOW],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    ) as process:
        try:
            assert process.stdout is not None
            until = time.monotonic() + 60
            lines = []
            while time.monotonic() < until and not (lines and lines[-1].startswith("http")):
                lines.append(process.stdout.readline())
            assert lines[-2] == MARK + "\n"
            with urllib.request.urlopen(lines[-1].strip(), timeout=10) as page:
                assert page.status == 200
        finally:
            process.send_signal(signal.SIGTERM)
