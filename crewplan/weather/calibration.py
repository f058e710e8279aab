"""Forecasts brought to what the branch's own record says they are worth.

The centre is drawn to climatology as skill is lost; members' departures are scaled; and each member
gets a part of the error that all have in common. All factors hang on lead time alone, never on the
members themselves, so that more wind in any member means no less in any other.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from crewplan.weather.assumed_error import normal_draws
from crewplan.weather.learned_error import Learned

_GROUP = "wind"
"""Mean and gust err together."""

Values = Mapping[str, NDArray[np.float64]]


def _calibrated(
    told: NDArray[np.float64],
    climate: NDArray[np.float64],
    z: NDArray[np.float64],
    learned: Learned,
    band: NDArray[np.int64],
) -> NDArray[np.float64]:
    """[M, H] members as of bands [H]; NaN stays NaN."""
    there = np.isfinite(told)
    centre = np.where(there, told, 0.0).sum(axis=0) / np.maximum(there.sum(axis=0), 1)
    seasonal = np.isfinite(climate)
    skill = np.where(seasonal, learned.skill[band], 1.0)
    drawn = skill * centre + (1.0 - skill) * np.where(seasonal, climate, 0.0)
    spread = learned.scale[band] * (told - centre)
    return np.asarray(
        np.clip(drawn + spread + learned.common_mps[band] * z, 0.0, None), dtype=np.float64
    )


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """What a branch knows of its forecasts at one place, for H hours."""

    errors: Mapping[str, Learned] = field(default_factory=dict)
    """By field of an hour; empty: nothing, so that all stays as it is."""
    climate: Values = field(default_factory=dict)
    """By field, [H]: the month's and hour's mean; NaN where it is not known."""

    def _climate(self, name: str, hours: int) -> NDArray[np.float64]:
        return self.climate.get(name, np.full(hours, np.nan))

    def drawn(
        self,
        name: str,
        told: NDArray[np.float64],
        z: NDArray[np.float64],
        lead_h: NDArray[np.float64],
        *,
        helping: bool,
    ) -> NDArray[np.float64]:
        """[M, draws, H] a few forecasts [M, H] with the record's error; the centre is only drawn to
        climatology for planning."""
        learned = self.errors[name]
        band = learned.band(lead_h)
        centre = told
        if helping:
            climate = self._climate(name, told.shape[1])
            seasonal = np.isfinite(climate)
            skill = np.where(seasonal, learned.skill[band], 1.0)
            centre = skill * told + (1.0 - skill) * np.where(seasonal, climate, 0.0)
        error = z * learned.sd_mps[band][:, None, :]
        return np.clip(centre[:, None, :] + error, 0.0, None)

    def calibrated(
        self,
        value: Values,
        lead_h: NDArray[np.float64],
        hours_s: NDArray[np.int64],
        *,
        helping: bool,
    ) -> dict[str, NDArray[np.float64]]:
        """Wind and gust [M, H] of full ensembles by the record; all else as it is.

        For planning (`helping`) members as calibrated. For a verdict the worse of each member as
        told and as calibrated for its lead time and every shorter one: the share is then at most
        the lower of both, and an older forecast is never kinder than a newer one.
        """
        changed = dict(value)
        if not self.errors:
            return changed
        z = normal_draws(len(lead_h), hours_s)[_GROUP]
        longest_h = lead_h.max(axis=0)
        for name, learned in self.errors.items():
            told, climate = value[name], self._climate(name, len(hours_s))
            band = learned.band(longest_h)
            if helping:
                changed[name] = _calibrated(told, climate, z, learned, band)
                continue
            worst = told
            for upto in range(len(learned.lead_h)):
                at = np.minimum(band, upto)
                worst = np.maximum(worst, _calibrated(told, climate, z, learned, at))
            changed[name] = worst
        return changed


NO_RECORD = Record()
