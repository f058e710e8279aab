"""Who watches a search, and may end it while it runs."""

from collections.abc import Callable
from dataclasses import dataclass

from crewplan.scheduling.engines import SoFar


def _nobody(_: SoFar) -> None:
    pass


def _never() -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Watch:
    """Hears of each better plan and bound, and says when what there is is good enough."""

    tell: Callable[[SoFar], object] = _nobody
    stopped: Callable[[], bool] = _never
    """Asked about ten times a second; True ends the search, and the best so far is the answer."""
    ctrl_c_keeps: bool = False
    """Ctrl-C ends the search as `stopped` does, instead of giving it up."""


NOBODY = Watch()
