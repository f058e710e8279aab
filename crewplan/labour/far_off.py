"""Lines that can hardly be right: named and left out, so that no average hides them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.labour.evidence import Evidence
from crewplan.labour.posterior import beginning, one_step, posterior, residual
from crewplan.labour.units import Array

BOUND = 4.0
"""Standard deviations from what all other lines expect. Assumed; of 16,000 lines as modelled one is
named by chance."""
_BEND = 1.345
"""Residuals from here on pull with a bounded force (Huber 1964: 95 % efficient if all is well)."""
_ROUNDS = 5
_MAD = 1.4826
"""Standard deviation / median of absolute deviations, of a normal distribution."""


@dataclass(frozen=True, slots=True, eq=False)
class Robust:
    """A fit in which no line pulls hard."""

    now: Array
    """Logarithms of rates, then of paces."""
    scale: Array
    """By line: times the residual's spread, so that its pull is bounded."""
    wide: float
    """How much more hours scatter than the table says; at least 1."""


def robust(evidence: Evidence, theta_sd: Array, start: Array | None = None) -> Robust:
    """A few rounds of weighing lines by how far they are off, with a step in each."""
    now = beginning(evidence, theta_sd) if start is None else start
    for _ in range(_ROUNDS):
        off = (
            np.abs(residual(evidence, now, len(theta_sd)))
            / evidence.expected(now[: len(theta_sd)])[2]
        )
        wide = max(1.0, _MAD * float(np.median(off)))
        scale = np.sqrt(np.maximum(1.0, off / (_BEND * wide)))
        now = one_step(evidence, theta_sd, scale, now)
    return Robust(now, scale, wide)


def far_off(
    evidence: Evidence, theta_sd: Array, judge: Robust
) -> tuple[NDArray[np.bool_], Array, Array]:
    """Which lines are far off; by line the logarithm expected of it without itself, and its spread.

    Where hours scatter more than the table says, more is let through: the bound is in units of the
    larger of both.
    """
    fit = posterior(evidence, theta_sd, judge.scale, judge.now)
    # what the fit owes to the line itself is taken out (as for one line that stands alone)
    owed = np.minimum(
        evidence.weight * (fit.doubt / (fit.residual_sd * judge.scale)) ** 2, 1 - 1e-9
    )
    alone = fit.residual / (1 - owed)
    sd = np.sqrt((judge.wide * fit.residual_sd) ** 2 + fit.doubt**2 / (1 - owed))
    return np.abs(alone) > BOUND * sd, evidence.log_h - alone, sd
