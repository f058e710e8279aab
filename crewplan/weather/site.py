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


Spot = tuple[float, float] | tuple[float, float, float]
"""Latitude and longitude in degrees, and the wind factor of a site that has one."""


def factor_of(spot: Spot) -> float:
    """Never under 1: no site makes a limit laxer."""
    return max(1.0, spot[2]) if len(spot) == 3 else 1.0


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
    wind_factor: float = 1.0
    """Wind at the site / wind of the forecast; under 1 counts as 1."""
    wind_factor_source: str = ""

    @property
    def spot(self) -> Spot:
        """Where it is, as forecasts are asked for."""
        return self.latitude, self.longitude, self.wind_factor

    def window_h(self, exposure: Exposure) -> float:
        """Least length of a window: the work and the time to make safe, or the default if more."""
        least = LEAST_WINDOW_H[exposure]
        if exposure not in self.needs_h:
            return least
        return max(least, self.needs_h[exposure] + MAKE_SAFE_H)
