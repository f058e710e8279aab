"""How long requests take: Kaplan-Meier curves of lead times, also of those still waiting."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.waiting_rows import LeadTime

POOL_REQUESTS = 5.0
"""An authority with so many requests of its own counts half, the pool the other half. Assumed."""


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """Share of requests still waiting after so many days: 1 before `days[0]`, flat past the last.

    Nothing is said beyond the data: where the longest waits are not over, the curve stays above 0.
    """

    days: NDArray[np.float64]
    still_waiting: NDArray[np.float64]
    requests: int

    def at(self, days: NDArray[np.float64]) -> NDArray[np.float64]:
        """Share still waiting once those days have passed; any shape."""
        steps = np.concatenate(([1.0], self.still_waiting))
        return steps[np.searchsorted(self.days, days, side="right")]


def kaplan_meier(waited_days: Sequence[float], over: Sequence[bool]) -> Curve:
    """Curve of waits in days; `over` False: still waiting after them (censored on the right)."""
    from scipy import stats  # heavy, and only needed where a branch keeps lead times

    waits, ended = np.asarray(waited_days, dtype=np.float64), np.asarray(over, dtype=np.bool_)
    if not ended.any():
        return Curve(np.empty(0), np.empty(0), len(waits))
    data = stats.CensoredData(uncensored=waits[ended], right=waits[~ended])
    survival = stats.ecdf(data).sf
    return Curve(
        np.asarray(survival.quantiles, dtype=np.float64),
        np.asarray(survival.probabilities, dtype=np.float64),
        len(waits),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Waits:
    """Curve of one kind with one authority, leaning on the kind's pool where requests are few."""

    own: Curve | None
    pool: Curve

    def still_waiting(self, days: NDArray[np.float64]) -> NDArray[np.float64]:
        """n / (n + k) of its own curve, the rest of the pool's, n its own requests."""
        if self.own is None:
            return self.pool.at(days)
        weight = self.own.requests / (self.own.requests + POOL_REQUESTS)
        return weight * self.own.at(days) + (1 - weight) * self.pool.at(days)

    def chance_by(self, days: NDArray[np.float64], waited: float) -> NDArray[np.float64]:
        """P(T <= days | T > waited), days counted from the request; 0 where data say nothing."""
        still = float(self.still_waiting(np.array([waited]))[0])
        if still <= 0:
            return np.zeros_like(days)
        later = self.still_waiting(np.maximum(days, waited))
        return np.clip(1 - later / still, 0.0, 1.0)


class History:
    """Lead times of a branch as known on one day; curves are worked out once, when asked for."""

    def __init__(self, rows: Iterable[LeadTime], today: date) -> None:
        """Requests made later than `today` do not count; grants later than it have not come."""
        self._rows: dict[str, list[tuple[str, float, bool]]] = {}
        self._waits: dict[tuple[str, str], Waits | None] = {}
        for row in rows:
            if row.asked_on > today:
                continue
            over = row.granted_on is not None and row.granted_on <= today
            end = row.granted_on if over and row.granted_on is not None else today
            entry = (row.authority, float((end - row.asked_on).days), over)
            self._rows.setdefault(row.kind, []).append(entry)

    def waits(self, kind: str, authority: str) -> Waits | None:
        """Waits for a kind with an authority (empty: not known whom); None without any record."""
        key = (kind, authority)
        if key not in self._waits:
            rows = self._rows.get(kind, [])
            own = [row for row in rows if authority and row[0] == authority]
            self._waits[key] = Waits(_curve(own) if own else None, _curve(rows)) if rows else None
        return self._waits[key]


def _curve(rows: Sequence[tuple[str, float, bool]]) -> Curve:
    return kaplan_meier([row[1] for row in rows], [row[2] for row in rows])
