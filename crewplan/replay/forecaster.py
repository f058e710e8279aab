"""Forecasts that nobody kept, made from what came and from stated errors.

Every member errs by what all members have in common and by something of its own. Without the
common part the mean of many members would be the truth, and any planner would look wise.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from crewplan.model.weather_table import WeatherTable
from crewplan.replay.observed import Observed, as_table
from crewplan.weather.grid import HOUR_S

Floats = NDArray[np.float64]


class NoCommonError(ValueError):
    """Members that are wrong each for itself only: their mean would be the truth."""


@dataclass(frozen=True, slots=True)
class Errors:
    """How wrong forecasts are. All figures assumed; TRADE's day-0 gust error is 1.5 to 1.7 m/s."""

    members: int = 21
    times: float = 1.0
    """All standard deviations times this; 0: every member is what came."""
    common: float = 0.5
    """Share of the variance that all members have in common; at a half, the members lie as far
    from their centre as the truth does: they are calibrated."""
    now_mps: float = 0.9
    """Standard deviation of mean wind at lead 0, of either part when they share alike."""
    per_hour_mps: float = 0.0105
    """And so much more by hour of lead, to the most: 1.1 a day ahead, 1.6 three days ahead."""
    most_mps: float = 2.6
    gust_factor: float = 1.4
    """Error of the gust / error of the mean wind of the same hour."""
    from_hour_to_hour: float = 0.8
    """Correlation of an error with that of the hour before."""
    rain_shift_h: float = 1.0
    """Standard deviation of how much too early or late rain is told, at lead 0."""
    rain_shift_per_hour_h: float = 0.04
    rain_log: float = 0.5
    """Standard deviation of the logarithm of its amount."""
    temperature_c: float = 1.2


def _noise(rng: np.random.Generator, shape: tuple[int, ...], carry: float) -> Floats:
    """Standard normal, each hour correlated with the one before, along the last axis."""
    fresh = rng.standard_normal(shape)
    fresh[..., 1:] *= np.sqrt(1 - carry * carry)
    return np.asarray(lfilter([1.0], [1.0, -carry], fresh, axis=-1))


def _both(rng: np.random.Generator, errors: Errors, hours: int) -> Floats:
    """[M, H]: variance 2, of which `common` of it is the same for all members."""
    shared = _noise(rng, (1, hours), errors.from_hour_to_hour)
    own = _noise(rng, (errors.members, hours), errors.from_hour_to_hour)
    both = np.sqrt(2 * errors.common) * shared + np.sqrt(2 * (1 - errors.common)) * own
    return np.asarray(both)


def ensemble(observed: Observed, errors: Errors, now_s: int, hours: int, seed: int) -> WeatherTable:
    """A forecast issued now, for so many hours from the hour that has begun.

    Hours past the end of what was observed are left out. The same seed, moment and errors give the
    same forecast, whoever asks.

    Raises:
        NoCommonError: where members have nothing in common though they err.
        ValueError: nothing was observed from now on.
    """
    if errors.times > 0 and not 0 < errors.common <= 1:
        raise NoCommonError("members need an error that all of them share: 0 < common <= 1")
    begin = max(0, observed.index(now_s))
    count = min(hours, observed.hours - begin)
    if count <= 0:
        raise ValueError("no weather was observed from that hour on")
    rng = np.random.default_rng([seed, begin])
    lead = np.arange(count, dtype=np.float64)
    truth = {name: values[begin : begin + count] for name, values in observed.fields.items()}
    sd = errors.times * np.minimum(errors.now_mps + errors.per_hour_mps * lead, errors.most_mps)
    wind_error = sd * _both(rng, errors, count)
    wind = np.maximum(0.0, truth["wind"] + wind_error)
    gust = np.maximum(wind, truth["gust"] + errors.gust_factor * wind_error)
    fields = {
        "wind": wind,
        "gust": gust,
        "rain": _rain(rng, errors, truth["rain"], lead),
        "temperature": truth["temperature"]
        + errors.times * errors.temperature_c * _both(rng, errors, count) / np.sqrt(2),
        "humidity": np.broadcast_to(truth["humidity"], wind.shape),
        "thunder": np.broadcast_to(truth["thunder"], wind.shape),
    }
    first_s = observed.first_s + HOUR_S * begin
    return as_table(observed.place, first_s, fields, min(now_s, first_s))


def _rain(rng: np.random.Generator, errors: Errors, truth: Floats, lead: Floats) -> Floats:
    """Rain that comes earlier or later, more or less, than it did."""
    count = len(truth)
    sd_h = errors.times * (errors.rain_shift_h + errors.rain_shift_per_hour_h * lead)
    shift = np.rint(sd_h * _both(rng, errors, count) / np.sqrt(2)).astype(np.int64)
    at = np.clip(np.arange(count) + shift, 0, count - 1)
    amount = np.exp(errors.times * errors.rain_log * _both(rng, errors, count) / np.sqrt(2))
    return np.asarray(truth[at] * amount)
