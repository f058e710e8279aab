"""Linear least squares by orthogonal triangles: no normal equations, which would square the trouble
of columns that are nearly the same.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import nnls

Array = NDArray[np.float64]

_BLOCK = 128
"""Rows that are turned at once."""
_SAME = 1e-13
"""A scaled column with less than this left beside the others is one of them."""


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What a straight fit says about its columns."""

    estimate: Array
    root: Array
    """Square root of the covariance for residuals of variance 1: covariance = root @ root.T."""
    residual_norm: float
    rows: int

    @property
    def residual_sd(self) -> float:
        """Of the residuals, for rows less columns; 0 where there are no more rows than columns."""
        freedom = self.rows - len(self.estimate)
        return self.residual_norm / freedom**0.5 if freedom > 0 else 0.0

    @property
    def unit_sd(self) -> Array:
        """Standard deviations of the estimates for residuals of variance 1."""
        return np.asarray(np.linalg.norm(self.root, axis=1))

    @property
    def sd(self) -> Array:
        """Standard deviations of the estimates for residuals of `residual_sd`."""
        return self.unit_sd * self.residual_sd


def least_squares(design: Array, observed: Array) -> Fit:
    """Columns' weights with the least sum of squared residuals; no bounds, no prior.

    A prior is a row a column: 1 / its spread there, its mean / its spread in `observed`.

    Args:
        design: rows x columns, at least as many rows as columns.
        observed: rows.

    Raises:
        ValueError: where a column is zero or a sum of the others.
    """
    scale, triangle, turned, rest = _triangle(design, observed)
    inverse = np.linalg.solve(triangle, np.eye(len(scale)))
    return Fit(inverse @ turned / scale, inverse / scale[:, None], rest, len(observed))


def non_negative_least_squares(design: Array, observed: Array) -> Array:
    """The same with no weight under 0 (Lawson and Hanson's active sets, on the small triangle).

    Raises:
        ValueError: as above.
    """
    scale, triangle, turned, _ = _triangle(design, observed)
    weights, _ = nnls(triangle, turned)
    return np.asarray(weights / scale)


def fold(rows: Array, group: NDArray[np.int64]) -> Array:
    """Fewer rows with the same sums of squares: each group's turned into a triangle.

    Groups whose rows leave most columns at zero (a crew's: all but its own pace) make this far
    quicker than one triangle over all columns, and as exact.
    """
    order = np.argsort(group, kind="stable")
    starts = np.flatnonzero(np.diff(group[order])) + 1
    folded = []
    for part in np.split(order, starts):
        its = rows[part]
        used = np.flatnonzero(its.any(axis=0))
        wide = np.zeros((min(len(its), len(used)), rows.shape[1]))
        wide[:, used] = _turned(its[:, used])
        folded.append(wide)
    return np.vstack(folded)


def _turned(rows: Array) -> Array:
    """Triangle of tall rows, by blocks too small for the library to start threads over."""
    columns = rows.shape[1]
    while len(rows) > max(_BLOCK, 2 * columns):
        size = max(_BLOCK, 2 * columns)
        padded = np.zeros((-(-len(rows) // size) * size, columns))
        padded[: len(rows)] = rows
        rows = _r_of(padded.reshape(-1, size, columns)).reshape(-1, columns)
    return _r_of(rows)


def _r_of(rows: Array) -> Array:
    triangle: Array = np.asarray(np.linalg.qr(rows, mode="r"), dtype=np.float64)
    return triangle


def _triangle(design: Array, observed: Array) -> tuple[Array, Array, Array, float]:
    """Column norms, R of the columns at length 1, Q'y and the length of what is left of y."""
    rows, columns = design.shape
    scale = np.asarray(np.linalg.norm(design, axis=0))
    if rows < columns or not np.all(scale > 0):
        raise ValueError("a column of the design is zero, or there are fewer rows than columns")
    both = _turned(np.column_stack([design / scale, observed]))
    triangle = both[:columns, :columns]
    if np.any(np.abs(np.diag(triangle)) < _SAME):
        raise ValueError("a column of the design is a sum of the others")
    rest = abs(float(both[columns, columns])) if rows > columns else 0.0
    return scale, triangle, both[:columns, columns], rest
