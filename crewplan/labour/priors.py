"""How sure the table's rates are before the hours that are to be learned from."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from crewplan.labour.evidence import LEAST_SPREAD
from crewplan.labour.learned_source import read_source
from crewplan.labour.units import Array, Ints
from crewplan.model.work_rows import Rate

RATE_UNCERTAINTY = 0.4
"""Standard deviation of a table's rate / the rate. Assumed."""
HALF_LIFE_DAYS = 730.0
"""After so many days hours worked say half as much about today's rates. Assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class Priors:
    """By rate of the table."""

    hours_per_unit: Array
    theta_sd: Array
    """Of the logarithm of the rate."""
    spread: Array
    """Of a stage's hours, the rate's own uncertainty taken out."""
    until: Ints
    """Proleptic ordinal of the last day that is in the row already; 0: none."""


def priors(rates: Sequence[Rate], today: date) -> Priors:
    """A learned row knows how well it is known; the older, the less, as with hours."""
    learned = [read_source(rate.source) for rate in rates]
    table = log_variance(RATE_UNCERTAINTY)
    variance, residual = [], []
    for rate, said in zip(rates, learned, strict=True):
        if said is None:
            variance.append(table)
            residual.append(rate.spread)
            continue
        aged = log_variance(said.uncertainty) / float(discount((today - said.until).days))
        variance.append(min(aged, table))
        rest = (1 + rate.spread**2) / (1 + said.uncertainty**2) - 1
        residual.append(max(rest, 0.0) ** 0.5)
    return Priors(
        np.array([rate.hours_per_unit for rate in rates], dtype=np.float64),
        np.sqrt(np.maximum(np.array(variance, dtype=np.float64), LEAST_SPREAD**2 / 100)),
        np.maximum(np.array(residual, dtype=np.float64), LEAST_SPREAD),
        np.array([0 if said is None else said.until.toordinal() for said in learned], np.int64),
    )


def discount(age_days: Ints | int) -> Array:
    """What hours of that age still say about today's rates, of 1; never more."""
    return np.asarray(0.5 ** (np.maximum(age_days, 0) / HALF_LIFE_DAYS), dtype=np.float64)


def log_variance(spread: float) -> float:
    """Variance of the logarithm of a log-normal with that standard deviation / mean."""
    return float(np.log1p(spread**2))


def spread_of(log_variance: float) -> float:
    """Standard deviation / mean of a log-normal with that variance of the logarithm."""
    return float(np.expm1(log_variance) ** 0.5)
