"""A person who watches the search: shown how it goes; Enter or Ctrl-C ends it with the best."""

import json
import os
import select
import shutil
import signal
import subprocess
import time
from pathlib import Path

import pytest
from at_a_terminal import CREWPLAN

pty = pytest.importorskip("pty", reason="needs a terminal of the Unix kind")

DEMO = Path(__file__).parents[2] / "demo_data"
SLOW = ("--engine", "cp-sat", "--gap", "0", "--seconds", "100", "--format", "json")
"""A search that takes all of its time."""


def at_a_terminal(folder, *words, wait_for="", then=lambda process, terminal: None):
    """Start a plan at a terminal, do something once a word was shown, and wait for its end."""
    terminal, theirs = pty.openpty()
    process = subprocess.Popen(
        [*CREWPLAN, "plan", str(folder), *SLOW, *words],
        stdin=theirs,
        stdout=subprocess.PIPE,
        stderr=theirs,
        text=True,
    )
    os.close(theirs)
    shown, until = "", time.monotonic() + 90
    while wait_for not in shown:
        assert time.monotonic() < until
        if select.select([terminal], [], [], 0.1)[0]:
            shown += os.read(terminal, 4096).decode(errors="replace")
    then(process, terminal)
    try:
        out, _ = process.communicate(timeout=60)
    finally:
        process.kill()
        os.close(terminal)
    return process.returncode, out


def test_enter_is_good_enough():
    code, out = at_a_terminal(
        DEMO,
        wait_for="Enter: good enough",
        then=lambda process, terminal: os.write(terminal, b"\n"),
    )
    plan = json.loads(out)
    assert code == 1  # the demo leaves out what was promised
    assert plan["objective"] <= plan["rule_of_thumb"]
    assert plan["gap"] > 0


@pytest.mark.parametrize("words", [(), ("--publish",)])
def test_ctrl_c_keeps_the_best_unless_it_would_be_published(tmp_path, words):
    folder = tmp_path / "branch"
    shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns("*.py", "__pycache__"))
    before = (folder / "plan.csv").read_bytes()
    code, out = at_a_terminal(
        folder,
        *words,
        wait_for="best so far",
        then=lambda process, terminal: process.send_signal(signal.SIGINT),
    )
    if words:
        assert (code, out) == (130, "")
    else:
        assert json.loads(out)["gap"] > 0
    assert (folder / "plan.csv").read_bytes() == before


def test_a_gap_of_ones_own_and_steps_in_the_place_of_time():
    done = subprocess.run(
        [*CREWPLAN, "plan", str(DEMO), "--format", "json", "--search-steps", "2", "--gap", "0.5"],
        capture_output=True,
        text=True,
        timeout=100,
    )
    assert 0.002 < json.loads(done.stdout)["gap"] <= 0.5
