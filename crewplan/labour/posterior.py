"""Rates after the evidence: the mode by least squares, the spread around it in logarithms.

Hours are linear in the rates, and rates are never negative. The start is the linear, bounded fit,
which has one optimum; from there Newton's steps for log-normal residuals lead to the mode. Where
every line is one step with one rate, the model is linear in logarithms and the answer is exact;
where only a stage's sum is known it is Laplace's approximation, held to numerical integration in
tests/labour/test_labour_posterior.py.
"""

from dataclasses import dataclass

import numpy as np

from crewplan.labour.evidence import Evidence
from crewplan.labour.least_squares import Fit, fold, least_squares, non_negative_least_squares
from crewplan.labour.units import Array

CREW_SPREAD = 0.15
"""Standard deviation of crews' paces around 1, beyond their people's own. Assumed."""
_LEAST_START = 0.05
"""The start's rates are at least this part of the prior, since 0 has no logarithm."""
_STILL = 1e-10
_STEPS, _WHOLE_STEPS = 200, 20
"""Newton's steps at most, and how many of them are taken whole; the later ones by halves."""
_LONGEST = 1.0
"""No step changes a rate by more than a factor of e."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """Normal distribution of the logarithms of rate / prior rate and of the crews' paces."""

    theta: Array
    """By rate."""
    theta_sd: Array
    log_pace: Array
    """By crew."""
    log_pace_sd: Array
    residual: Array
    """By line: logarithm of hours worked / median expected of this crew."""
    residual_sd: Array
    """By line: what the table's spread makes of it."""
    doubt: Array
    """By line: standard deviation of the logarithm expected, from rates and pace."""


def posterior(
    evidence: Evidence,
    theta_sd: Array,
    inflate: Array | None = None,
    start: Array | None = None,
) -> Posterior:
    """Rates and paces given the evidence; each rate has a line in it, and each crew.

    Args:
        theta_sd: by rate, the prior's standard deviation of the logarithm.
        inflate: by line, times the residual's spread (1 where it is not given).
        start: logarithms of rates, then of paces, to begin from.

    Raises:
        ArithmeticError: where the steps do not come to rest.
    """
    rates = len(theta_sd)
    scale = np.ones(len(evidence.log_h)) if inflate is None else inflate
    now = beginning(evidence, theta_sd) if start is None else start
    for number in range(_STEPS):
        fit = _linear(evidence, now, theta_sd, scale)
        longest = float(np.abs(fit.estimate).max())
        if longest < _STILL:
            break
        part = 1.0 if number < _WHOLE_STEPS else 0.5
        now = now + fit.estimate * part * min(1.0, _LONGEST / longest)
    else:
        raise ArithmeticError("rates did not come to rest")
    _, slope, sd = evidence.expected(now[:rates])
    columns = np.column_stack([slope, -evidence.crews])
    return Posterior(
        theta=now[:rates],
        theta_sd=fit.unit_sd[:rates],
        log_pace=now[rates:],
        log_pace_sd=fit.unit_sd[rates:],
        residual=residual(evidence, now, rates),
        residual_sd=sd,
        doubt=np.asarray(np.linalg.norm(columns @ fit.root, axis=1)),
    )


def beginning(evidence: Evidence, theta_sd: Array) -> Array:
    """Where Newton's steps begin: the linear fit's rates, and paces of 1."""
    return np.concatenate([_start(evidence, theta_sd), np.zeros(evidence.crews.shape[1])])


def one_step(evidence: Evidence, theta_sd: Array, scale: Array, now: Array) -> Array:
    """A step from `now` towards the mode for residuals of `scale` times the table's spread."""
    step = _linear(evidence, now, theta_sd, scale).estimate
    return np.asarray(now + step * min(1.0, _LONGEST / max(float(np.abs(step).max()), _LONGEST)))


def residual(evidence: Evidence, now: Array, rates: int) -> Array:
    """By line: logarithm of hours worked / median expected of this crew."""
    log_h, _, _ = evidence.expected(now[:rates])
    return np.asarray(evidence.log_h - log_h + (evidence.crews * now[rates:]).sum(axis=1))


def _start(evidence: Evidence, theta_sd: Array) -> Array:
    """Logarithms of the bounded linear fit: hours against hours, spread as the prior expects."""
    ones = np.zeros(len(theta_sd))
    log_h, _, sd = evidence.expected(ones)
    spread_h = np.exp(log_h) * sd / np.sqrt(evidence.weight)
    worked_h = np.exp(evidence.log_h)
    design = np.vstack([evidence.prior_h / spread_h[:, None], np.diag(1 / theta_sd)])
    observed = np.concatenate([worked_h / spread_h, 1 / theta_sd])
    return np.asarray(
        np.log(np.maximum(non_negative_least_squares(design, observed), _LEAST_START))
    )


def _linear(evidence: Evidence, now: Array, theta_sd: Array, scale: Array) -> Fit:
    """The step from here: evidence and prior as one least-squares problem."""
    rates, crews = len(theta_sd), evidence.crews.shape[1]
    prior_sd = np.concatenate([theta_sd, np.full(crews, np.log1p(CREW_SPREAD**2) ** 0.5)])
    log_h, slope, sd = evidence.expected(now[:rates])
    off = evidence.log_h - log_h + (evidence.crews * now[rates:]).sum(axis=1)
    lines = evidence.whiten(np.column_stack([slope, -evidence.crews, off]), sd * scale)
    free = fold(lines, evidence.main_crew)
    design = np.vstack([free[:, :-1], np.diag(1 / prior_sd)])
    return least_squares(design, np.concatenate([free[:, -1], -now / prior_sd]))
