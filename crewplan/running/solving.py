"""A plan that is being made in a process of its own: how far it is, a stop that keeps the best.

solving = Solving(function, *words)     # function(*words, watch=...) gives what is wanted
solving.progress()                      # the best price and the bound so far
solving.stop()                          # enough: the best so far is finished and checked
solving.result()                        # None while it takes
solving.end()                           # give it up
"""

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from crewplan.running.looks import Failed
from crewplan.running.own_process import OwnProcess, Result, Told
from crewplan.running.watching import Watch
from crewplan.scheduling.engines import SoFar


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a search is; prices in whole cents."""

    price: int
    """Of the best plan so far."""
    bound: int
    """No plan costs less."""
    gap: float
    """(price - bound) / |price|."""


def _watched(told: Told) -> dict[str, Any]:
    """A watch for the function: progress goes out, a wish to stop comes in."""

    def tell(known: SoFar) -> None:
        told.send(Progress(known.price, known.bound, known.gap))

    return {"watch": Watch(tell, lambda: told.heard() == "stop")}


class Solving(OwnProcess[Result]):
    """One plan on its way; `function` is importable, takes `watch`, and gives what can be sent."""

    ended_early = "the process that planned ended early"

    def __init__(self, function: Callable[..., Result], *words: Any) -> None:
        """Start it."""
        self._begun_s = time.monotonic()
        super().__init__(function, *words, extra=_watched)

    @property
    def seconds(self) -> float:
        """Since it was started."""
        return time.monotonic() - self._begun_s

    def progress(self) -> Progress | None:
        """The last that was heard; None while nothing is searched yet."""
        self._hear()
        return self._last if isinstance(self._last, Progress) else None

    def stop(self) -> None:
        """What there is is good enough: `result` has it as soon as it is checked."""
        self.say("stop")

    def result(self) -> Result | Failed | None:
        """What came of it; None while it takes."""
        return self.outcome()
