"""Which hours of a site have the sun up, and which can have frost on the roof."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from crewplan.weather.grid import HOUR_S
from crewplan.weather.sun import sun_up

FROST_AFTER_SUNRISE_H = 2


@dataclass(frozen=True, slots=True, eq=False)
class SunHours:
    """S sites by H hours."""

    light: NDArray[np.bool_]
    """The sun is up at both ends of the hour."""
    frost: NDArray[np.bool_]
    """The sun was down at some whole hour from two hours before the hour to its end."""


def sun_hours(latitude: ArrayLike, longitude: ArrayLike, starts_s: NDArray[np.int64]) -> SunHours:
    """Light and frost hours at S sites (degrees) for H hours (seconds since 1970-01-01 UTC).

    Frost can stand from sunset until two hours after sunrise. Where the sun does not set it
    never can, where it does not rise it always can. A night of less than an hour between two
    whole hours is not seen: it comes only near the polar circles, around midnight.
    """
    offsets = np.arange(-FROST_AFTER_SUNRISE_H, 2) * HOUR_S
    instants, where = np.unique(starts_s[None, :] + offsets[:, None], return_inverse=True)
    up = sun_up(latitude, longitude, instants)[:, where.reshape(len(offsets), -1)]
    return SunHours(up[:, -2] & up[:, -1], np.logical_not(up.all(axis=1)))
