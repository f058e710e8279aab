"""A log-normal law laid through what a record says, to look past its end."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Tail:
    """Waits whose logarithm is normal; days as the record counts them."""

    mu: float
    """Of the logarithm of days."""
    sigma: float

    def still_waiting(self, days: Floats) -> Floats:
        """Share still waiting after so many days; 1 at 0 and before."""
        with np.errstate(divide="ignore"):
            logs = np.log(np.maximum(days, 0.0))
        return np.asarray(ndtr((self.mu - logs) / self.sigma), dtype=np.float64)

    def days_for(self, still_waiting: float) -> float:
        """Days after which that share, between 0 and 1, is still waiting."""
        return float(np.exp(self.mu - self.sigma * ndtri(still_waiting)))


def tail_through(days: Floats, over: Floats) -> Tail | None:
    """The law nearest to shares `over` that have come within `days`; None where none fits.

    A straight line by least squares of the logarithm of days on the normal quantile of the share,
    so that published quartiles are read in the same way as the steps of a curve. Two points with
    different days and shares at least; shares of 0 and 1 and waits of no day say nothing.
    """
    says = (days > 0) & (over > 0) & (over < 1)
    logs, normal = np.log(days[says]), ndtri(over[says])
    if len(logs) < 2 or np.ptp(normal) <= 0 or np.ptp(logs) <= 0:
        return None
    sigma, mu = np.polyfit(normal, logs, 1)
    return Tail(float(mu), float(sigma)) if sigma > 0 else None
