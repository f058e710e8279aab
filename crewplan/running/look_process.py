"""Makes a look in a process of its own, which may not take for ever."""

import time
from collections.abc import Callable
from typing import Any

from crewplan.running.looks import Failed, Made
from crewplan.running.own_process import OwnProcess

LONGEST_S = 900
"""A look that takes longer has hung (assumed; 40 crews take under half a minute)."""


class LookProcess(OwnProcess[Made]):
    """One look on its way; `function` is importable and gives a `Made`, `words` can be sent."""

    ended_early = "the process that made it ended early"

    def __init__(self, function: Callable[..., Made], *words: Any) -> None:
        """Start it."""
        super().__init__(function, *words)
        self._until = time.monotonic() + LONGEST_S

    def outcome(self) -> Made | Failed | None:
        """What it made; None while it takes."""
        found = super().outcome()
        if found is None and time.monotonic() > self._until:
            self.end()
            return Failed(f"it took longer than {LONGEST_S // 60} minutes")
        return found
