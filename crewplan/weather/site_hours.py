"""One site's hours: what its place was judged to be, with the sun where the site is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.weather.judge import Judged


@dataclass(frozen=True, slots=True, eq=False)
class SiteHours:
    """R rows by H hours of one site and exposure."""

    good: NDArray[np.bool_]
    """[R, H]: known and within limits."""
    hopeful: NDArray[np.bool_]
    """[R, H]: good if every missing value were good."""
    known: NDArray[np.bool_]
    """[H]: every needed value of every row is there."""


def site_hours(
    judged: Judged, light: NDArray[np.bool_], frost: NDArray[np.bool_], *, in_reach: bool
) -> SiteHours:
    """Adds the sun ([H] each) to a judged place; out of reach of it nothing is known."""
    open_by_sun = light if judged.light is not None else np.ones_like(light)
    if not in_reach or not judged.limited:
        shape = judged.hopeful.shape
        nothing = np.zeros(shape, dtype=np.bool_)
        return SiteHours(nothing, np.broadcast_to(open_by_sun, shape), nothing[0])
    hopeful = judged.hopeful & open_by_sun
    for check in judged.stops:
        if check.limit.measure == "frost":
            hopeful &= ~(check.breaks & frost)
    good = hopeful & judged.full
    if judged.spare:
        good[-1] = False
    known = np.logical_and.reduce(judged.full, axis=0)
    return SiteHours(good, hopeful, np.asarray(known, dtype=np.bool_))
