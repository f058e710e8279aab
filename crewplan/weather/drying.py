"""How fast a wet roof dries, by the air alone: no wind, no sun, so that nothing is promised.

Water goes in proportion to what the air can still take up (Dalton): the saturation pressure at the
air's temperature, less what is in it. The rate is set by figures computed for a film of
0.2 mm: gone in 0.9 h at 70 % humidity, in 5.5 h at 95 %, taken here as at 15 degC (assumed).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

FILM_MM = 0.2
"""What stays on a roof after rain; more runs off."""

LOOK_BACK_H = 12
"""Hours looked back on, at most. Assumed: covers a night; the air of a longer one is saturated."""

_RATE_MM_PER_H = FILM_MM / (0.9 * 0.30)
"""At 15 degC in wholly dry air: 0.9 h at a deficit of 30 %."""
_REFERENCE_C = 15.0


def saturation_hpa(temperature_c: ArrayLike) -> NDArray[np.float64]:
    """Pressure of water vapour over water at saturation, in hPa (Bolton 1980, eq. 10)."""
    t = np.asarray(temperature_c, dtype=np.float64)
    return np.asarray(6.112 * np.exp(17.67 * t / (t + 243.5)), dtype=np.float64)


def drying_mm_per_h(temperature_c: ArrayLike, humidity_pct: ArrayLike) -> NDArray[np.float64]:
    """Water that leaves a roof in an hour, in mm, elementwise; below freezing none. NaN stays."""
    t = np.asarray(temperature_c, dtype=np.float64)
    dry = np.clip(1.0 - np.asarray(humidity_pct, dtype=np.float64) / 100.0, 0.0, 1.0)
    warmth = saturation_hpa(t) / saturation_hpa(_REFERENCE_C)
    rate = _RATE_MM_PER_H * dry * warmth
    return np.asarray(np.where(t < 0.0, rate * 0.0, rate), dtype=np.float64)


def drying_h(temperature_c: ArrayLike, humidity_pct: ArrayLike) -> NDArray[np.float64]:
    """Hours until a film of `FILM_MM` is gone; infinite where it never is."""
    with np.errstate(divide="ignore"):
        return np.asarray(FILM_MM / drying_mm_per_h(temperature_c, humidity_pct), dtype=np.float64)
