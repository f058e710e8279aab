"""The core under learned rates against NIST's Statistical Reference Datasets (StRD, linear least
squares) and against another algorithm of scipy.

Data of Norris and Longley (Longley, JASA 62, 1967) and the certified values below: NIST StRD,
public, in copies that agree with each other; the data lie beside this file in `nist/`.
"""

from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from crewplan.labour.least_squares import least_squares, non_negative_least_squares

DATA = Path(__file__).parent / "nist"

NORRIS = {
    "estimate": [-0.262323073774029, 1.00211681802045],
    "sd": [0.232818234301152, 0.429796848199937e-03],
    "r2": 0.999993745883712,
}
LONGLEY = {
    "estimate": [
        -3482258.63459582,
        15.0618722713733,
        -0.358191792925910e-01,
        -2.02022980381683,
        -1.03322686717359,
        -0.511041056535807e-01,
        1829.15146461355,
    ],
    "sd": [
        890420.383607373,
        84.9149257747669,
        0.334910077722432e-01,
        0.488399681651699,
        0.214274163161675,
        0.226073200069370,
        455.478499142212,
    ],
    "r2": 0.995479004577296,
}
LONGLEY_RESIDUAL_SD = 304.854073561965


def table(name):
    rows = np.loadtxt(DATA / f"{name}.csv", delimiter=",", skiprows=1)
    return np.column_stack([np.ones(len(rows)), rows[:, 1:]]), rows[:, 0]


@pytest.mark.parametrize(("name", "certified"), [("norris", NORRIS), ("longley", LONGLEY)])
def test_a_flat_prior_without_bounds_gives_nists_figures_to_eight_digits(name, certified):
    design, observed = table(name)
    fit = least_squares(design, observed)
    assert fit.estimate == pytest.approx(certified["estimate"], rel=1e-8)
    assert fit.sd == pytest.approx(certified["sd"], rel=1e-8)
    left = fit.residual_norm**2
    assert 1 - left / np.sum((observed - observed.mean()) ** 2) == pytest.approx(
        certified["r2"], rel=1e-8
    )


def test_longleys_residual_spread_is_nists_to_eight_digits():
    assert least_squares(*table("longley")).residual_sd == pytest.approx(
        LONGLEY_RESIDUAL_SD, rel=1e-8
    )


@pytest.mark.parametrize("name", ["norris", "longley"])
def test_with_bounds_on_nists_data_give_what_scipys_bounded_least_squares_gives(name):
    design, observed = table(name)
    scale = np.linalg.norm(design, axis=0)  # bvls works on columns of one length
    other = lsq_linear(design / scale, observed, (0, np.inf), method="bvls", tol=1e-14)
    found = non_negative_least_squares(design, observed)
    assert found * scale == pytest.approx(other.x, rel=1e-8, abs=1e-8 * np.abs(other.x).max())
    assert (found == 0).any()  # the bound binds: both data sets have a negative weight without it


@pytest.mark.parametrize("seed", range(20))
def test_with_bounds_on_random_work_gives_what_scipys_bounded_least_squares_gives(seed):
    draw = np.random.default_rng(seed)
    design = draw.gamma(1.0, 5.0, (60, 12)) * (draw.random((60, 12)) < 0.6)
    observed = design @ np.maximum(draw.normal(0.2, 0.5, 12), 0) + draw.normal(0, 10, 60)
    other = lsq_linear(design, observed, (0, np.inf), method="bvls", tol=1e-14)
    found = non_negative_least_squares(design, observed)
    assert found == pytest.approx(other.x, rel=1e-8, abs=1e-9)
    assert (found >= 0).all()


def test_a_prior_is_a_row_a_column():
    # by hand: one observation 3 of spread 1 and a prior of mean 1, spread 0.5: (3 + 4) / (1 + 4)
    fit = least_squares(np.array([[1.0], [2.0]]), np.array([3.0, 2.0]))
    assert fit.estimate == pytest.approx([1.4])
    assert fit.unit_sd == pytest.approx([5**-0.5])


@pytest.mark.parametrize(
    "design", [[[1.0, 2.0], [2.0, 4.0], [3.0, 6.0]], [[1.0, 0.0], [1.0, 0.0]], [[1.0, 2.0]]]
)
def test_columns_that_cannot_be_told_apart_are_refused(design):
    with pytest.raises(ValueError):
        least_squares(np.array(design), np.ones(len(design)))
