"""Lines of work as a model: logarithms of hours, what they depend on, and how they scatter."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.spread import STEPS_CORRELATION
from crewplan.labour.units import Array, Ints

LEAST_SPREAD = 0.05
"""No crew repeats its hours to better than this, whatever the table says. Assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """Lines of work, as hours that the prior rates expect, and the hours that were worked.

    Hours of a step are its prior hours x exp(theta) of its rates / the crew's pace x a log-normal
    residual with the table's spread and median 1; residuals of a stage's steps go together.
    """

    prior_h: Array
    """Lines x rates: person-hours at the prior rates, with median residuals."""
    steps: Ints
    """By rate: its step."""
    spread: Array
    """By rate: standard deviation / mean of its step's hours from stage to stage."""
    log_h: Array
    """By line: logarithm of the hours worked."""
    crews: Array
    """Lines x crews: shares of the hours."""
    stage: Ints
    """By line, ascending: lines of one stage go together."""
    weight: Array
    """By line: 1 for work of today, less for older; the same for all lines of a stage."""

    @property
    def main_crew(self) -> Ints:
        """By line: the crew with most of its hours; one of them where nobody's crew is known."""
        if self.crews.shape[1] == 0:
            return np.zeros(len(self.log_h), dtype=np.int64)
        return np.asarray(self.crews.argmax(axis=1), dtype=np.int64)

    def where(self, kept: NDArray[np.bool_]) -> "Evidence":
        """Some of the lines."""
        return Evidence(
            self.prior_h[kept],
            self.steps,
            self.spread,
            self.log_h[kept],
            self.crews[kept],
            self.stage[kept],
            self.weight[kept],
        )

    def expected(self, theta: Array) -> tuple[Array, Array, Array]:
        """By line: logarithm of the median hours, its slopes by theta, the logarithm's spread.

        A whole stage is a sum of log-normal steps: again taken as log-normal, with the sum's mean
        and variance (Fenton and Wilkinson's matching, as in `spread.combine`).
        """
        median_h = self.prior_h * np.exp(theta)
        mean_h = median_h * np.sqrt(1 + self.spread**2)
        sd_h = mean_h * self.spread
        whole_h = mean_h.sum(axis=1)
        # rates of one step go wrong together, steps only in part
        by_step = np.column_stack(
            [sd_h[:, self.steps == step].sum(axis=1) for step in np.unique(self.steps)]
        )
        variance = (1 - STEPS_CORRELATION) * (by_step**2).sum(axis=1) + STEPS_CORRELATION * (
            by_step.sum(axis=1) ** 2
        )
        log_variance = np.log1p(variance / whole_h**2)
        return (
            np.log(whole_h) - log_variance / 2,
            mean_h / whole_h[:, None],
            np.sqrt(log_variance),
        )

    def whiten(self, columns: Array, sd: Array) -> Array:
        """Lines divided by their spread and freed of what the lines of a stage have in common.

        The correlation matrix of n lines, 1 on the diagonal and c off it, has the inverse square
        root (I - k J / n) / sqrt(1 - c) with k = 1 - sqrt((1 - c) / (1 + (n - 1) c)).
        """
        own = 1 - STEPS_CORRELATION
        _, first, place, lines = np.unique(
            self.stage, return_index=True, return_inverse=True, return_counts=True
        )
        scaled = (columns.T / sd).T
        mean = (np.add.reduceat(scaled, first, axis=0).T / lines).T
        common = 1 - np.sqrt(own / (own + lines * STEPS_CORRELATION))
        free = scaled - ((mean.T * common).T)[place]
        return np.asarray((free.T * np.sqrt(self.weight / own)).T)
