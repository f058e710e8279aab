"""Where the sun is, for many sites and instants at once.

Equations of the NOAA Global Monitoring Laboratory's solar calculator, after Meeus, Astronomical
Algorithms (1991), good to about a minute of sunrise between 72 degrees south and north. Vectorised
here: 1,000 sites share the terms that hang on the instant alone, and polar days need no case.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

HORIZON_DEG = -0.833
"""Elevation of the sun's centre at sunrise and sunset: its radius and mean refraction (NOAA)."""

_J2000_S = 946_728_000
_DAY_S = 86_400


def elevation_deg(
    latitude: ArrayLike, longitude: ArrayLike, times_s: ArrayLike
) -> NDArray[np.float64]:
    """Elevation of the sun's centre without refraction, in degrees.

    Args:
        latitude: [S] degrees.
        longitude: [S] degrees, east positive.
        times_s: [T] seconds since 1970-01-01 UTC.

    Returns:
        [S, T].
    """
    seconds = np.asarray(times_s, dtype=np.float64)
    century = (seconds - _J2000_S) / _DAY_S / 36_525.0
    mean_longitude = np.radians((280.46646 + century * (36000.76983 + century * 0.0003032)) % 360)
    anomaly = np.radians(357.52911 + century * (35999.05029 - 0.0001537 * century))
    eccentricity = 0.016708634 - century * (0.000042037 + 0.0000001267 * century)
    centre = (
        np.sin(anomaly) * (1.914602 - century * (0.004817 + 0.000014 * century))
        + np.sin(2 * anomaly) * (0.019993 - 0.000101 * century)
        + np.sin(3 * anomaly) * 0.000289
    )
    node = np.radians(125.04 - 1934.136 * century)
    apparent = mean_longitude + np.radians(centre - 0.00569 - 0.00478 * np.sin(node))
    tilt_s = 21.448 - century * (46.815 + century * (0.00059 - century * 0.001813))
    tilt = np.radians(23 + (26 + tilt_s / 60) / 60 + 0.00256 * np.cos(node))
    declination = np.arcsin(np.sin(tilt) * np.sin(apparent))
    y = np.tan(tilt / 2) ** 2
    equation_of_time = (
        y * np.sin(2 * mean_longitude)
        - 2 * eccentricity * np.sin(anomaly)
        + 4 * eccentricity * y * np.sin(anomaly) * np.cos(2 * mean_longitude)
        - 0.5 * y**2 * np.sin(4 * mean_longitude)
        - 1.25 * eccentricity**2 * np.sin(2 * anomaly)
    )
    at_greenwich = 2 * np.pi * (seconds % _DAY_S) / _DAY_S - np.pi + equation_of_time
    phi = np.radians(np.atleast_1d(np.asarray(latitude, dtype=np.float64)))[:, None]
    east = np.radians(np.atleast_1d(np.asarray(longitude, dtype=np.float64)))[:, None]
    sine = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(
        at_greenwich + east
    )
    return np.asarray(np.degrees(np.arcsin(np.clip(sine, -1.0, 1.0))), dtype=np.float64)


def sun_up(latitude: ArrayLike, longitude: ArrayLike, times_s: ArrayLike) -> NDArray[np.bool_]:
    """[S, T]: whether the sun is up, polar days and nights included."""
    return elevation_deg(latitude, longitude, times_s) >= HORIZON_DEG
