"""The program as a person at a terminal starts it, in a process of its own."""

import subprocess
import sys
from typing import Any

CREWPLAN = [sys.executable, "-m", "crewplan.cli"]


def crewplan(*words: object, **kwargs: Any) -> subprocess.CompletedProcess:
    """Run a command to its end; nobody is ever shown a traceback."""
    options = {"capture_output": True, "text": True, "timeout": 120} | kwargs
    done = subprocess.run([*CREWPLAN, *map(str, words)], **options)
    if options["text"]:
        assert "Traceback" not in done.stdout + done.stderr
    return done


def refused_in_one_line(done: subprocess.CompletedProcess[str], told: str) -> None:
    """The words of the call were off: exit code 64, one line that says so, and nothing else."""
    assert done.returncode == 64
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert done.stdout == ""
