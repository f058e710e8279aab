"""How much of each day is open for work on the ground, on a roof and for lifting, drawn."""

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.model.branch import Branch
from crewplan.placing.timeline import shift_of_days
from crewplan.scheduling.promising.streams import stream
from crewplan.weather import open_hours_all
from crewplan.weather.site import Spot

Floats = NDArray[np.float64]

ROOF = 1
"""Of the exposures, from there on."""
DAYS_TOGETHER = 5
"""Working days in a row that are taken from one member or one run of past days, so that spells of
weather stay spells. Assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class OpenShares:
    """Shares of the working time of T days that are open at one place."""

    share: Floats
    """[3, D, T], by exposure, ground first; a more exposed kind is never open for longer."""
    notes: tuple[str, ...]
    """What an answer must say of it: from which day on nothing is known ..."""

    def productive(self, mix: Floats) -> Floats:
        """[D, T] share of a crew's hours in which work of that mix of exposures gets on.

        Work on the ground fills hours that are shut for roofs, but not whole days of them: so that
        days of unknown weather bring nobody's roof any further.
        """
        share = np.tensordot(mix, self.share, axes=1)
        return share if mix[1:].sum() <= 0 else np.where(self.share[1] > 0, share, 0.0)


def _drawn_rows(rows: int, days: int, seed: int, draws: int) -> NDArray[np.int64]:
    """[D, T] a member for each day."""
    blocks = -(-days // DAYS_TOGETHER)
    picked = stream(seed, "weather").integers(0, rows, (draws, blocks))
    return np.repeat(picked, DAYS_TOGETHER, axis=1)[:, :days]


def open_shares(
    branch: Branch, days: tuple[date, ...], now: datetime, spot: Spot, seed: int, draws: int
) -> OpenShares:
    """Members of the forecast as far as it goes, whole past days of the season after it.

    Work on the ground is not held to weather that nobody knows; roofs and lifts are, so that from
    the first day of which nothing is known they stay shut: nothing beyond it is promised.
    """
    hour_starts, shifts = shift_of_days(branch.settings, days)
    hours = open_hours_all(branch, hour_starts, now, [spot], purpose="planning")[0]
    # the hours of a day lie together, those of the next one after them
    weight = np.zeros(len(hour_starts))
    for shift in shifts:
        for hour, start, end in shift.pieces:
            weight[hour] += (end - start) / (shift.am_h + shift.pm_h)
    first_hour = [min(piece[0] for piece in shift.pieces) for shift in shifts]
    told = np.stack([hours.hopeful[0], hours.good[1], hours.good[2]])
    nested = np.logical_and.accumulate(told, axis=0)
    # a draw that is never good by its nature says nothing of the weather
    says = hours.good.any(axis=(0, 2))
    if says.any():
        nested = nested[:, says]
    by_day = np.add.reduceat(nested * weight, first_hour, axis=2)
    unknown = np.flatnonzero(np.add.reduceat(hours.known[ROOF] * weight, first_hour) <= 0)
    if unknown.size:
        by_day[ROOF:, :, unknown[0] :] = 0.0
    rows = _drawn_rows(by_day.shape[1], len(days), seed, draws)
    return OpenShares(
        by_day[:, rows, np.arange(len(days))],
        hours.notes,
    )
