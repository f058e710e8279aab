"""Boards of the invented company, each in a process of its own, as a person starts them."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from at_a_terminal import CREWPLAN, crewplan

from crewplan.running.demo import demo_folder

NOW = "2026-05-03T18:00:00-05:00"
"""The demo's forecast is of this evening."""


@contextmanager
def running_board(*words: object) -> Iterator[str]:
    """The address of `crewplan WORDS` on a free port, until it is no longer needed."""
    command = [*CREWPLAN, *map(str, words), "--port", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=sys.stderr, text=True) as process:
        assert process.stdout is not None
        try:
            yield next(line.strip() for line in process.stdout if line.startswith("http://"))
        finally:
            process.terminate()
            process.wait(20)


@contextmanager
def board_on_a_database(folder: Path) -> Iterator[str]:
    """The address of a board that follows a database of the invented company, made in `folder`."""
    imported = crewplan("import", demo_folder(), "--to", folder, "--accept")
    assert imported.returncode == 0, imported.stderr
    with running_board("board", folder, "--now", NOW, "--seconds", "3") as address:
        yield address
