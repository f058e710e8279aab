"""Where a verdict is asked for, and how long a run of go hours the work there needs."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from crewplan.model.work_rows import Exposure

MAKE_SAFE_H = 0.5
"""Time to clamp, tie down and come off the roof. Assumed."""

LEAST_WINDOW_H: Mapping[Exposure, float] = {"ground": 1.0, "roof": 2.0, "lift": 2.0}
"""Least window: one interval of an hourly forecast, and on the roof the time to make safe, in
whole hours. Assumed; that a stoppable job's planned period is the forecast interval and the time
to make safe is marine practice (from memory)."""


@dataclass(frozen=True, slots=True)
class Site:
    """A place of work; empty names stand for the branch's own place."""

    latitude: float
    """Degrees."""
    longitude: float
    """Degrees, east positive."""
    job: str = ""
    stage: str = ""
    needs_h: Mapping[Exposure, float] = field(default_factory=dict)
    """Hours in a row that the work itself needs, by exposure, where known."""

    def window_h(self, exposure: Exposure) -> float:
        """Least length of a window: the work and the time to make safe, or the default if more."""
        least = LEAST_WINDOW_H[exposure]
        if exposure not in self.needs_h:
            return least
        return max(least, self.needs_h[exposure] + MAKE_SAFE_H)
