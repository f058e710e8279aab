"""The process that solves: one problem in, then each better choice and bound, then the result.

Started by `SolverProcess`; it ends when whoever started it does.
"""

import os
import pickle
import signal
import sys
import threading
from typing import BinaryIO

import numpy as np

from crewplan.scheduling.engines import EngineChoice, NothingFound, SoFar, engine


def _until_deserted(asked: BinaryIO) -> None:
    # nothing more is ever sent: the read ends when the starter does, however that ends
    asked.read()
    os._exit(1)


def work(asked: BinaryIO, told: BinaryIO) -> None:
    """Solve what comes in, and tell of it: (word, value) pairs."""
    engine("highs")  # the heavier one to load, while the problem is still being put together
    name: EngineChoice = pickle.load(asked)
    solve = engine(name)
    turn = threading.Lock()

    def tell(word: str, value: object) -> None:
        with turn:  # solvers call from threads of theirs
            pickle.dump((word, value), told, protocol=pickle.HIGHEST_PROTOCOL)
            told.flush()

    def so_far(known: SoFar) -> None:
        tell("so far", (np.flatnonzero(known.picked), known.bound))

    tell("ready", None)
    selection, start, stop = pickle.load(asked)
    threading.Thread(target=_until_deserted, args=(asked,), daemon=True).start()
    try:
        tell("result", solve(selection, start, stop, so_far))
    except NothingFound as error:
        tell("nothing", str(error))


def main() -> None:
    """Keep the pipes for pickles: what a solver prints goes nowhere."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the starter decides what Ctrl-C means
    told = os.fdopen(os.dup(1), "wb")
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        work(sys.stdin.buffer, told)
    except (BrokenPipeError, EOFError):
        pass  # nobody asks, or nobody listens any more
    os._exit(0)


if __name__ == "__main__":
    main()
