"""A plan that is being made in a process of its own: how far it is, a stop that keeps the best.

solving = Solving(function, *words)     # function(*words, watch=...) gives what is wanted
solving.progress()                      # the best price and the bound so far
solving.stop()                          # enough: the best so far is finished and checked
solving.result()                        # None while it takes
solving.end()                           # give it up
"""

import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from multiprocessing import get_context
from multiprocessing.connection import Connection
from typing import Any, Generic, TypeVar

from crewplan.running.look_process import NICE, end_with_the_board, sentence_of
from crewplan.running.looks import Failed
from crewplan.running.watching import Watch
from crewplan.scheduling.engines import SoFar

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is; prices in whole cents."""

    price: int
    """Of the best plan so far."""
    bound: int
    """No plan costs less."""
    gap: float
    """(price - bound) / |price|."""


class _Answers:
    """The process's end of the pipe: progress and the result go out, a wish to stop comes in."""

    def __init__(self, pipe: "Connection[Any, Any]") -> None:
        self._pipe, self._stopped, self._turn = pipe, False, threading.Lock()

    def tell(self, known: SoFar) -> None:
        self.send(Progress(known.price, known.bound, known.gap))

    def send(self, value: object) -> None:
        with self._turn:
            self._pipe.send(value)

    def stopped(self) -> bool:
        while not self._stopped and self._pipe.poll():
            self._stopped = self._pipe.recv() == "stop"
        return self._stopped


@dataclass(frozen=True, slots=True)
class _Result:
    value: Any


def _work(pipe: "Connection[Any, Any]", module: str, name: str, words: tuple[Any, ...]) -> None:
    threading.Thread(target=end_with_the_board, daemon=True).start()
    if hasattr(os, "nice"):
        os.nice(NICE)
    answers = _Answers(pipe)
    try:
        # found by its name, so that all that it needs is loaded at low priority too
        function = getattr(import_module(module), name)
        answers.send(_Result(function(*words, watch=Watch(answers.tell, answers.stopped))))
    except Exception as error:  # told on the page
        answers.send(_Result(Failed(sentence_of(error))))


class Solving(Generic[Result]):
    """One plan on its way; `function` is importable, takes `watch`, and gives what can be sent."""

    def __init__(self, function: Callable[..., Result], *words: Any) -> None:
        """Start it."""
        # a fresh process: a copy of one with threads may hang in a lock that a thread held
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(
            target=_work,
            args=(theirs, function.__module__, function.__name__, words),
            name="solving",
            daemon=True,
        )
        self._begun_s = time.monotonic()
        self._process.start()
        theirs.close()
        self._progress: Progress | None = None
        self._result: Result | Failed | None = None

    @property
    def seconds(self) -> float:
        """Since it was started."""
        return time.monotonic() - self._begun_s

    def _hear(self) -> None:
        try:
            while self._result is None and self._pipe.poll():
                told = self._pipe.recv()
                if isinstance(told, Progress):
                    self._progress = told
                else:
                    self._result = told.value
        except (EOFError, OSError):
            self._result = Failed("the process that planned ended early")
        if self._result is not None:
            self.end()

    def progress(self) -> Progress | None:
        """The last that was heard; None while nothing is searched yet."""
        self._hear()
        return self._progress

    def stop(self) -> None:
        """What there is is good enough: `result` has it as soon as it is checked."""
        try:
            self._pipe.send("stop")
        except OSError:
            pass  # it has ended already

    def result(self) -> Result | Failed | None:
        """What came of it; None while it takes."""
        self._hear()
        return self._result

    def outcome(self) -> Result | Failed | None:
        """The same, as looks ask for it."""
        return self.result()

    def end(self) -> None:
        """End the process, whatever it does."""
        if self._result is None:
            self._result = Failed("it was given up")
        self._process.kill()
        self._process.join()
        self._pipe.close()
