"""Heat index: how hot humid air feels in the shade."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

_ROTHFUSZ = (
    (-42.379, 0, 0),
    (2.04901523, 1, 0),
    (10.14333127, 0, 1),
    (-0.22475541, 1, 1),
    (-6.83783e-3, 2, 0),
    (-5.481717e-2, 0, 2),
    (1.22874e-3, 2, 1),
    (8.5282e-4, 1, 2),
    (-1.99e-6, 2, 2),
)
"""Coefficient, power of temperature in degF, power of relative humidity in %."""


def heat_index_f(temperature_f: ArrayLike, humidity_pct: ArrayLike) -> NDArray[np.float64]:
    """Heat index in degF from temperature in degF and relative humidity in %, elementwise.

    Source: US National Weather Service, 'The Heat Index Equation': the regression of Rothfusz
    (SR 90-23, 1990) with both adjustments, and the simple formula where that gives under 80 degF.
    NaN in, NaN out.
    """
    t = np.asarray(temperature_f, dtype=np.float64)
    rh = np.asarray(humidity_pct, dtype=np.float64)
    simple = (t + 61.0 + (t - 68.0) * 1.2 + rh * 0.094) / 2
    mild = (simple + t) / 2
    full = np.zeros(np.broadcast(t, rh).shape)
    for coefficient, power_t, power_rh in _ROTHFUSZ:
        full = full + coefficient * t**power_t * rh**power_rh
    dry = (rh < 13) & (t >= 80) & (t <= 112)
    humid = (rh > 85) & (t >= 80) & (t <= 87)
    less = (13 - rh) / 4 * np.sqrt(np.clip(17 - np.abs(t - 95), 0, None) / 17)
    more = (rh - 85) / 10 * (87 - t) / 5
    full = full - np.where(dry, less, 0.0) + np.where(humid, more, 0.0)
    return np.asarray(np.where(mild < 80, mild, full), dtype=np.float64)


def heat_index_c(temperature_c: ArrayLike, humidity_pct: ArrayLike) -> NDArray[np.float64]:
    """Heat index in degC from temperature in degC and relative humidity in %."""
    fahrenheit = np.asarray(temperature_c, dtype=np.float64) * 1.8 + 32
    return (heat_index_f(fahrenheit, humidity_pct) - 32) / 1.8
