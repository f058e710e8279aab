"""A function in a process of its own at the lowest priority, so that the board goes on answering.

It ends with the board, however that ends. What it tells on its way, and its result, come through a
pipe; a word may go to it.
"""

import os
import threading
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection
from typing import Any, Generic, TypeVar

from crewplan.running.looks import Failed

Result = TypeVar("Result")
Extra = Callable[["Told"], dict[str, Any]]
"""Further named arguments of the function, made in its process, that tell and hear."""

NICE = 15
"""Steps down in priority: pages come first."""


@dataclass(frozen=True, slots=True)
class _Result:
    value: Any


class Told:
    """The process's end of the pipe; for all of its threads."""

    def __init__(self, pipe: "Connection[Any, Any]") -> None:
        """Nothing is told yet."""
        self._pipe, self._heard, self._turn = pipe, "", threading.Lock()

    def send(self, value: object) -> None:
        """To whoever started the process."""
        with self._turn:
            self._pipe.send(value)

    def heard(self) -> str:
        """The first word that came; empty: none yet."""
        if not self._heard and self._pipe.poll():
            self._heard = self._pipe.recv()
        return self._heard


def nothing_more(_: Told) -> dict[str, Any]:
    """For a function that tells nothing on its way."""
    return {}


def _end_with_the_board() -> None:
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _sentence_of(error: BaseException) -> str:
    """What went wrong in one line, without its full stop."""
    first = str(error).strip().partition("\n")[0].strip().rstrip(".")
    return first or f"it was stopped by a fault of its own ({type(error).__name__})"


def _work(
    pipe: "Connection[Any, Any]", extra: Extra, module: str, name: str, words: tuple[Any, ...]
) -> None:
    threading.Thread(target=_end_with_the_board, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(NICE)
    told = Told(pipe)
    try:
        # found by its name, so that all that it needs is loaded at low priority too
        value = getattr(import_module(module), name)(*words, **extra(told))
        told.send(_Result(value))
    except Exception as error:  # told on the page
        told.send(_Result(Failed(_sentence_of(error))))


class OwnProcess(Generic[Result]):
    """One function on its way; it is importable, and what it takes and gives can be sent."""

    ended_early = "the process ended early"

    def __init__(
        self, function: Callable[..., Result], *words: Any, extra: Extra = nothing_more
    ) -> None:
        """Start it."""
        # a fresh process: a copy of one with threads may hang in a lock that a thread held
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(
            target=_work,
            args=(theirs, extra, function.__module__, function.__name__, words),
            name=function.__name__,
            daemon=True,
        )
        self._process.start()
        theirs.close()
        self._last: Any = None
        """Of what it told on its way; None: nothing yet."""
        self._result: Result | Failed | None = None

    def _hear(self) -> None:
        try:
            while self._result is None and self._pipe.poll():
                told = self._pipe.recv()
                if isinstance(told, _Result):
                    self._result = told.value
                else:
                    self._last = told
        except (EOFError, OSError):
            self._result = Failed(self.ended_early)
        if self._result is not None:
            self.end()

    def outcome(self) -> Result | Failed | None:
        """What came of it; None while it takes."""
        self._hear()
        return self._result

    def say(self, word: str) -> None:
        """To the function, if it still runs."""
        try:
            self._pipe.send(word)
        except OSError:
            pass  # it has ended already

    def end(self) -> None:
        """End the process, whatever it does."""
        if self._result is None:
            self._result = Failed("it was given up")
        self._process.kill()
        self._process.join()
        self._pipe.close()
