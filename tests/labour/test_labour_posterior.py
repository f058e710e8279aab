"""The posterior against slow twins: integration on a grid, and plain least squares."""

import numpy as np
import pytest

from crewplan.labour.evidence import Evidence
from crewplan.labour.least_squares import fold, least_squares
from crewplan.labour.posterior import posterior

Z95 = 1.6448536269514722
PRIOR_SD = np.full(2, np.log1p(0.4**2) ** 0.5)


def evidence(prior_h, hours, spread=(0.3, 0.3), stage=None):
    lines = len(hours)
    return Evidence(
        prior_h=np.array(prior_h, dtype=float),
        steps=np.arange(len(spread)),
        spread=np.array(spread),
        log_h=np.log(hours),
        crews=np.zeros((lines, 0)),
        stage=np.arange(lines) if stage is None else np.array(stage),
        weight=np.ones(lines),
    )


def integrated(facts, sd=PRIOR_SD):
    """Median, 5 % and 95 % points of each theta, by a fine grid over both."""
    axis = np.linspace(-2.0, 2.0, 61)
    log_p = np.empty((len(axis), len(axis)))
    for row, first in enumerate(axis):
        for column, second in enumerate(axis):
            log_h, _, spread = facts.expected(np.array([first, second]))
            free = facts.whiten(facts.log_h - log_h, spread)
            log_p[row, column] = -0.5 * (free @ free + (first / sd[0]) ** 2 + (second / sd[1]) ** 2)
    p = np.exp(log_p - log_p.max())
    points = []
    for marginal in (p.sum(axis=1), p.sum(axis=0)):
        chance = (np.cumsum(marginal) - marginal / 2) / marginal.sum()
        points.append(np.interp([0.5, 0.05, 0.95], chance, axis))
    return np.array(points)


@pytest.mark.parametrize(
    "facts",
    [
        evidence([[2.0, 4.0]] * 4, [9.0, 7.5, 8.0, 10.0]),
        evidence([[2.0, 4.0], [8.0, 1.0], [1.0, 6.0]], [5.0, 6.0, 11.0]),
        evidence([[5.0, 0.5]], [2.0], (0.3, 0.6)),
    ],
    ids=["sums alike", "sums of different work", "one sum"],
)
def test_where_only_sums_are_known_the_interval_is_near_that_of_integration(facts):
    fit = posterior(facts, PRIOR_SD)
    found = np.column_stack(
        [fit.theta, fit.theta - Z95 * fit.theta_sd, fit.theta + Z95 * fit.theta_sd]
    )
    # Laplace's approximation, not exact: medians and ends of the logarithm
    slow = integrated(facts)
    assert found[:, 0] == pytest.approx(slow[:, 0], abs=0.06)
    assert found == pytest.approx(slow, abs=0.18)


def test_where_steps_are_known_the_interval_is_exact():
    facts = evidence(
        [[2.0, 0.0], [0.0, 4.0], [2.0, 0.0], [0.0, 4.0]], [3.0, 3.5, 2.5, 5.0], stage=[0, 0, 1, 1]
    )
    fit = posterior(facts, PRIOR_SD)
    found = np.column_stack(
        [fit.theta, fit.theta - Z95 * fit.theta_sd, fit.theta + Z95 * fit.theta_sd]
    )
    assert found == pytest.approx(integrated(facts), abs=0.03)  # the grid's own step is 0.05


def test_without_prior_the_rates_are_plain_least_squares_of_the_logarithms():
    draw = np.random.default_rng(5)
    prior_h = np.zeros((40, 2))
    prior_h[:20, 0], prior_h[20:, 1] = draw.gamma(4.0, 1.0, 20), draw.gamma(4.0, 1.0, 20)
    hours = prior_h.sum(axis=1) * np.exp(draw.normal(0.2, 0.3, 40))
    fit = posterior(evidence(prior_h, hours), np.full(2, 1e6))
    by_hand = np.log(hours / prior_h.sum(axis=1)).reshape(2, 20)
    assert fit.theta == pytest.approx(by_hand.mean(axis=1))
    assert fit.theta_sd == pytest.approx(np.log1p(0.3**2) ** 0.5 / 20**0.5)


def test_whitening_is_the_inverse_of_the_covariance_of_a_stages_steps():
    facts = evidence([[1.0, 0.0]] * 5, np.ones(5), stage=[0, 0, 0, 1, 1])
    sd = np.array([0.2, 0.3, 0.4, 0.5, 0.6])
    white = facts.whiten(np.eye(5), sd)
    correlation = np.eye(5)
    correlation[:3, :3] = correlation[3:, 3:] = 0.5
    np.fill_diagonal(correlation, 1.0)
    assert white.T @ white == pytest.approx(np.linalg.inv(correlation * np.outer(sd, sd)))


def test_no_rate_is_ever_negative_though_the_straight_fit_would_be():
    # the second step cannot explain why much of it goes with few hours
    facts = evidence([[1.0, 9.0], [5.0, 5.0], [9.0, 1.0]] * 4, [1.0, 8.0, 14.2] * 4)
    straight = least_squares(facts.prior_h, np.exp(facts.log_h))
    assert straight.estimate[1] < 0
    fit = posterior(facts, PRIOR_SD)
    assert np.exp(fit.theta[1] - Z95 * fit.theta_sd[1]) > 0
    assert fit.theta[1] < -0.5


def test_folded_rows_give_the_same_fit():
    draw = np.random.default_rng(6)
    crew = draw.integers(0, 4, 700)
    rows = np.column_stack([draw.normal(size=(700, 3)), np.eye(4)[crew], draw.normal(size=700)])
    whole, folded = least_squares(rows[:, :-1], rows[:, -1]), fold(rows, crew)
    assert len(folded) < 30
    fit = least_squares(folded[:, :-1], folded[:, -1])
    assert fit.estimate == pytest.approx(whole.estimate)
    assert fit.unit_sd == pytest.approx(whole.unit_sd)
