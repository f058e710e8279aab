"""The errors that a branch's own record shows, by lead time; only rows of enough pairs count."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from crewplan.model.error_rows import LEAST_PAIRS, ForecastError

COMMON_SHARE = 0.5
"""Least share of the error's variance that all members have in common: without it, averaging many
members would return the truth. Assumed ('half or so')."""


_NO_SPREAD_MPS = 1e-3


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """Bands of lead time in ascending order; what lies beyond the last counts as in the last."""

    lead_h: NDArray[np.float64]
    skill: NDArray[np.float64]
    """Never rises with lead time."""
    sd_mps: NDArray[np.float64]
    """Never falls with lead time."""
    scale: NDArray[np.float64]
    """What members' departures from their mean are multiplied with. At most `skill`, so that more
    wind in one member never means less in another."""
    common_mps: NDArray[np.float64]
    """Standard deviation of what all members have wrong together."""

    def band(self, lead_h: NDArray[np.float64]) -> NDArray[np.int64]:
        """Into the bands, of any shape."""
        return np.minimum(np.searchsorted(self.lead_h, lead_h, side="left"), len(self.lead_h) - 1)


def learned_errors(rows: Iterable[ForecastError]) -> Mapping[str, Learned]:
    """By field of an hour; empty where the record is not long enough for any."""
    kept: dict[str, list[ForecastError]] = {}
    for row in rows:
        if row.pairs >= LEAST_PAIRS and row.sd_mps > 0:
            kept.setdefault(row.measure, []).append(row)
    return {field: _learned(sorted(of, key=lambda row: row.lead_h)) for field, of in kept.items()}


def _learned(rows: list[ForecastError]) -> Learned:
    skill = np.minimum.accumulate([row.skill for row in rows])
    sd = np.maximum.accumulate([row.sd_mps for row in rows])
    spread = np.array([row.spread_mps for row in rows])
    own = np.sqrt(1 - COMMON_SHARE) * sd
    several = spread > _NO_SPREAD_MPS
    scale = np.where(several, np.minimum(own / np.where(several, spread, 1.0), skill), 0.0)
    common = np.sqrt(np.clip(sd**2 - (scale * spread) ** 2, 0.0, None))
    return Learned(np.array([row.lead_h for row in rows]), skill, sd, scale, common)
