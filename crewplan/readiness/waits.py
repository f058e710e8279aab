"""How long one kind of request takes with one authority, supplier or utility."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from crewplan.readiness.curves import Curve
from crewplan.readiness.day_clock import CALENDAR, DayClock
from crewplan.readiness.tail import Tail, tail_through

Floats = NDArray[np.float64]

POOL_REQUESTS = 5.0
"""An authority with so many requests of its own counts half, the pool the other half. Assumed."""
_ROUNDING = 1e-9


@dataclass(frozen=True, eq=False)
class Waits:
    """Its own curve, leaning on the pool's where requests are few; days as `clock` counts them."""

    own: Curve | None
    pool: Curve
    clock: DayClock = CALENDAR

    @cached_property
    def _weight(self) -> float:
        """n / (n + k) of its own curve, n its own requests; the rest of the pool's."""
        return 0.0 if self.own is None else self.own.requests / (self.own.requests + POOL_REQUESTS)

    @cached_property
    def seen_to(self) -> int:
        """Days past which the record says nothing."""
        own = self.own.seen_to if self.own is not None else 0.0
        return int(max(own, self.pool.seen_to))

    @cached_property
    def by_day(self) -> Floats:
        """Share still waiting after 0, 1, 2 ... whole days, as far as the record goes."""
        days = np.arange(self.seen_to + 1, dtype=np.float64)
        pool = self.pool.at(days)
        return pool if self.own is None else self._mixed(self.own.at(days), pool)

    def _mixed(self, own: Floats, pool: Floats) -> Floats:
        return self._weight * own + (1 - self._weight) * pool

    def still_waiting(self, days: NDArray[np.int64 | np.float64]) -> Floats:
        """Share still waiting once those days have passed, flat past the record; any shape."""
        whole = np.floor(np.clip(days, -1, self.seen_to)).astype(np.int64)
        return np.where(whole < 0, 1.0, self.by_day[np.maximum(whole, 0)])

    def chance_by(self, days: NDArray[np.int64 | np.float64], waited: float) -> Floats:
        """P(T <= days | T > waited), days counted from the request; 0 where data say nothing."""
        still = float(self.still_waiting(np.array(waited)))
        if still <= 0:
            return np.zeros(np.shape(days))
        later = self.still_waiting(np.maximum(days, waited))
        return np.clip(1 - later / still, 0.0, 1.0)

    @cached_property
    def _never(self) -> float:
        own = self.own.never if self.own is not None else 0.0
        return self._weight * own + (1 - self._weight) * self.pool.never

    @cached_property
    def tail(self) -> Tail | None:
        """The law past the record, of those requests that are granted some day."""
        steps = np.flatnonzero(np.diff(self.by_day, prepend=1.0) < 0)
        over = (1.0 - self.by_day[steps]) / max(1.0 - self._never, _ROUNDING)
        return tail_through(steps.astype(np.float64), over)

    def beyond(self, days: NDArray[np.int64 | np.float64], waited: float) -> Floats | None:
        """`chance_by` where the tail goes on past the record; None where no law fits the record."""
        tail, end, since = self.tail, float(self.seen_to), float(int(waited))
        if tail is None:
            return None
        whole = np.maximum(np.floor(days), since)
        left_at_end = float(self.by_day[-1])
        granted_later = max(left_at_end - self._never, 0.0)
        if since >= end:
            # past the record there is only the law; who waited so long may also have been refused
            start = float(tail.still_waiting(np.array(since)))
            lost = self._never / left_at_end if left_at_end > 0 else 0.0
            if start <= 0:
                return None
            return np.clip((1 - min(lost, 1.0)) * (1 - tail.still_waiting(whole) / start), 0.0, 1.0)
        at_end = float(tail.still_waiting(np.array(end)))
        going_on = tail.still_waiting(whole) / at_end if at_end > 0 else np.ones(whole.shape)
        past = left_at_end - granted_later * (1 - going_on)
        survived = np.where(whole <= end, self.still_waiting(whole), past)
        still = float(self.still_waiting(np.array(since)))
        return np.clip(1 - survived / still, 0.0, 1.0) if still > 0 else None

    def days_for(self, share: float) -> int | None:
        """Least whole days within which at least `share` of requests are granted.

        None where the record does not reach that far.
        """
        enough = np.flatnonzero(1.0 - self.by_day >= share - _ROUNDING)
        return int(enough[0]) if enough.size else None
