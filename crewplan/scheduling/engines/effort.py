"""What of a stop is left: seconds by the clock, steps by what was taken."""

from dataclasses import replace
from time import monotonic

from crewplan.scheduling.stop import Stop


class Effort:
    """Counts down one stop for a search that is made of several; without seconds, no clock."""

    def __init__(self, stop: Stop) -> None:
        """Begin now."""
        self._stop, self.taken = stop, 0
        self._until = None if stop.seconds is None else monotonic() + stop.seconds

    def left(
        self, share: float = 1.0, *, seconds: float | None = None, steps: int | None = None
    ) -> Stop:
        """A share of what is left, and at most so many seconds or steps."""
        now = self._stop
        if self._until is not None:
            rest = max(0.0, (self._until - monotonic()) * share)
            now = replace(now, seconds=rest if seconds is None else min(rest, seconds))
        if self._stop.steps is not None:
            some = int((self._stop.steps - self.taken) * share)
            now = replace(now, steps=max(0, some if steps is None else min(some, steps)))
        return now

    def spend(self, steps: int) -> None:
        """So many steps were taken; a search that took none counts as one, or none would end."""
        self.taken += max(steps, 1)

    @property
    def over(self) -> bool:
        """Whether nothing is left."""
        left = self.left()
        return left.seconds == 0.0 or left.steps == 0
