"""A look's process: what it hands over, and how it ends."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import looks_for_tests
import pytest

from crewplan.publishing.plan_json import plan_json
from crewplan.running import look_process
from crewplan.running.look_process import LookProcess
from crewplan.running.looks import Failed, Made


def _until(true: Callable[[], object], seconds: float = 60) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it took too long"
        time.sleep(0.02)


def _outcome(process: LookProcess) -> Made | Failed:
    found: list[Made | Failed] = []

    def ready() -> bool:
        found.extend(filter(None, [process.outcome()]))
        return bool(found)

    _until(ready)
    return found[0]


def test_a_look_comes_back_whole() -> None:
    made = _outcome(LookProcess(looks_for_tests.made, 7))
    assert isinstance(made, Made)
    assert made.version == 7
    again = looks_for_tests.made(7).view
    assert plan_json(made.view.plan, "now") == plan_json(again.plan, "now")


def test_a_fault_comes_back_as_one_sentence() -> None:
    failed = _outcome(LookProcess(looks_for_tests.rejected, 7))
    assert failed == Failed("version 7 cannot be planned")


def test_a_process_that_dies_is_a_look_that_failed() -> None:
    assert isinstance(_outcome(LookProcess(looks_for_tests.died, 7)), Failed)


def test_a_look_that_never_ends_is_given_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(look_process, "LONGEST_S", 0.5)
    process = LookProcess(looks_for_tests.endless, str(tmp_path / "alive"))
    failed = _outcome(process)
    assert isinstance(failed, Failed)
    assert "took longer" in failed.why


def _gone(number: int) -> bool:
    try:
        state = Path(f"/proc/{number}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return True
    return state == "Z"


@pytest.mark.skipif(sys.platform != "linux", reason="tells processes by /proc")
def test_a_look_has_low_priority_and_ends_with_its_board_even_if_that_is_killed(
    tmp_path: Path,
) -> None:
    alive = tmp_path / "alive"
    here = Path(__file__).parent
    code = (
        "import sys, time; sys.path[:0] = sys.argv[2:];"
        "import looks_for_tests; from crewplan.running.look_process import LookProcess;"
        "LookProcess(looks_for_tests.endless, sys.argv[1]); time.sleep(60)"
    )
    words = [sys.executable, "-c", code, str(alive), str(here), str(here.parent)]
    board = subprocess.Popen(words)
    try:
        _until(lambda: alive.exists() and alive.read_text().count(" ") == 2)
        number, priority, _ = alive.read_text().split()
        assert int(priority) >= 10
    finally:
        os.kill(board.pid, signal.SIGKILL)
        board.wait()
    _until(lambda: _gone(int(number)), 10)
