"""Makes a look in a process of its own, so that the board goes on answering meanwhile.

The process has the lowest priority, and ends with the board, however that ends.
"""

import os
import threading
import time
from collections.abc import Callable
from importlib import import_module
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection
from typing import Any

from crewplan.running.looks import Failed, Made

NICE = 15
"""Steps down in priority: pages come first."""
LONGEST_S = 900
"""A look that takes longer has hung (assumed; 40 crews take under half a minute)."""


def end_with_the_board() -> None:
    """Wait for the end of whoever started this process, and end with it."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def sentence_of(error: BaseException) -> str:
    """What went wrong in one line, without its full stop."""
    first = str(error).strip().partition("\n")[0].strip().rstrip(".")
    return first or f"it was stopped by a fault of its own ({type(error).__name__})"


def _work(answer: "Connection[Any, Any]", module: str, name: str, words: tuple[Any, ...]) -> None:
    threading.Thread(target=end_with_the_board, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(NICE)
    try:
        # found by its name, so that all that it needs is loaded at low priority too
        answer.send(getattr(import_module(module), name)(*words))
    except Exception as error:  # told on the page, which goes on showing the last look
        answer.send(Failed(sentence_of(error)))


class LookProcess:
    """One look on its way; `function` is importable and gives a `Made`, `words` can be sent."""

    def __init__(self, function: Callable[..., Made], *words: Any) -> None:
        """Start it."""
        # a fresh process: a copy of one with threads may hang in a lock that a thread held
        context = get_context("spawn")
        self._answers, answer = context.Pipe(duplex=False)
        self._until = time.monotonic() + LONGEST_S
        self._process = context.Process(
            target=_work,
            args=(answer, function.__module__, function.__name__, words),
            name="look",
            daemon=True,
        )
        self._process.start()
        answer.close()

    def outcome(self) -> Made | Failed | None:
        """What it made; None while it takes."""
        try:
            if self._answers.poll():
                found: Made | Failed = self._answers.recv()
                self.end()
                return found
        except (EOFError, OSError):
            self.end()
            return Failed("the process that made it ended early")
        if time.monotonic() > self._until:
            self.end()
            return Failed(f"it took longer than {LONGEST_S // 60} minutes")
        return None

    def end(self) -> None:
        """End the process, whatever it does."""
        self._process.kill()
        self._process.join()
        self._answers.close()
