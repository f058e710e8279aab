"""An engine in a process of its own, so that it can be ended at any moment.

Solvers look at the clock between rounds only: presolve and long rounds of cuts overran a limit of
60 s by half. Here every better choice is handed over as it comes, and whatever ends the process
(the limit, a person, the system) the best choice so far is the answer.
"""

import pickle
import queue
import subprocess
import sys
import threading
from contextlib import suppress
from dataclasses import replace
from functools import partial
from math import inf
from time import monotonic
from typing import Any, Literal, Self

import numpy as np
from numpy.typing import NDArray

from crewplan.running.watching import NOBODY, Watch
from crewplan.scheduling.engines import Engine, EngineChoice, EngineResult, NothingFound, SoFar
from crewplan.scheduling.engines.interface import Tell, settle, tell_nobody
from crewplan.scheduling.selection import Picked, Selection
from crewplan.scheduling.stop import Stop

GRACE_S = 0.5
"""Past the limit, for an engine that is just handing over its result."""
_START_S = 60.0
"""A process that has not loaded its solver by then has hung (assumed; it takes about a second)."""
_TICK_S = 0.1
_START_WORKER = (
    "import sys; sys.path[:] = {path!r}; from crewplan.running.solver_worker import main; main()"
)


class SolverProcess:
    """A process that solves one problem; a context manager, at whose end the process ends too."""

    def __init__(self, watch: Watch = NOBODY) -> None:
        """Nothing is started yet."""
        self._watch = watch
        self.ended_by: Literal["", "limit", "person", "itself"] = ""
        """What ended the search before its engine did."""
        self._told: queue.SimpleQueue[tuple[str, Any]] = queue.SimpleQueue()
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Let it load its solvers while something else is done here."""
        self._process = subprocess.Popen(
            [sys.executable, "-c", _START_WORKER.format(path=sys.path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        self._reader = threading.Thread(target=self._read, name="solver", daemon=True)
        self._reader.start()

    @property
    def pid(self) -> int | None:
        """Of the process; None before it is started."""
        return None if self._process is None else self._process.pid

    def engine(self, name: EngineChoice) -> Engine:
        """That engine, running there; for one call."""
        return partial(self._solve, name)

    def __enter__(self) -> Self:
        """The same."""
        return self

    def __exit__(self, *_: object) -> None:
        """End the process, whatever it does."""
        if self._process is None:
            return
        self._process.kill()
        self._process.wait()
        self._reader.join()
        assert self._process.stdin is not None
        with suppress(OSError):  # what was still to be sent goes nowhere
            self._process.stdin.close()

    def _read(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        with self._process.stdout as stream:
            while True:
                try:
                    self._told.put(pickle.load(stream))
                except (EOFError, OSError, pickle.UnpicklingError):
                    break
        self._told.put(("gone", None))

    def _send(self, value: object) -> None:
        assert self._process is not None
        assert self._process.stdin is not None
        with suppress(OSError):  # where it is gone, its other pipe tells
            pickle.dump(value, self._process.stdin, protocol=pickle.HIGHEST_PROTOCOL)
            self._process.stdin.flush()

    def _next(self) -> tuple[str, Any]:
        try:
            return self._told.get(timeout=_TICK_S)
        except queue.Empty:
            return "", None

    def _solve(
        self,
        name: EngineChoice,
        selection: Selection,
        start: Picked | None,
        stop: Stop,
        tell: Tell = tell_nobody,
    ) -> EngineResult:
        hearing = _Hearing(name, selection, start)
        until = monotonic() + _START_S
        try:
            if self._process is None:
                self.start()
            self._send(name)
            while not self.ended_by:
                word, value = self._next()
                if word == "ready":
                    self._send((selection, start, stop))
                    # the clock runs from here: loading a solver is no part of a search
                    until = monotonic() + (inf if stop.seconds is None else stop.seconds + GRACE_S)
                elif word == "so far":
                    known = hearing.hear(*value)
                    tell(known)
                    self._watch.tell(known)
                elif word == "result":
                    result: EngineResult = value
                    return result
                elif word == "nothing":
                    raise NothingFound(value)
                elif word == "gone":
                    self.ended_by = "itself"
                if not self.ended_by and monotonic() > until:
                    self.ended_by = "limit"
                if not self.ended_by and self._watch.stopped():
                    self.ended_by = "person"
        except KeyboardInterrupt:
            if not self._watch.ctrl_c_keeps:
                raise
            self.ended_by = "person"
        finally:
            if self._process is not None:
                self._process.kill()
        return hearing.result()


class _Hearing:
    """What a process has told so far; the better of that and the start is the answer."""

    def __init__(self, name: EngineChoice, selection: Selection, start: Picked | None) -> None:
        self._name, self._selection, self._start = name, selection, start
        self._picked: Picked | None = start
        self._bound: int | None = None

    def hear(self, columns: NDArray[np.intp], bound: int) -> SoFar:
        picked = np.zeros(len(self._selection.cost), dtype=np.bool_)
        picked[columns] = True
        self._picked, self._bound = picked, bound
        return SoFar(picked, self._selection.price(picked), bound)

    def result(self) -> EngineResult:
        found = settle(self._selection, self._start, self._picked, self._bound)
        return replace(found, solver="cp-sat" if self._name == "cp-sat" else "highs")
