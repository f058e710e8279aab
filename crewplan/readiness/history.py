"""Lead times of a branch as known on one day, by kind and by whom was asked."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.curves import Bools, Curve, Whole, kaplan_meier
from crewplan.readiness.day_clock import CALENDAR, DayClock, clocks_of
from crewplan.readiness.waits import Waits


@dataclass(frozen=True, slots=True, eq=False)
class _Records:
    """Requests of one kind; an entry each."""

    asked: Whole
    """Ordinals of dates."""
    end: Whole
    """Of the answer, or today."""
    over: Bools
    refused: Bools
    of: Mapping[str, Whole]
    """By whom was asked: entries."""


def _records(rows: Iterable[LeadTime], today: date) -> _Records:
    asked, end, over, refused = [], [], [], []
    of: dict[str, list[int]] = {}
    for number, row in enumerate(rows):
        of.setdefault(row.authority, []).append(number)
        answer = row.granted_on or row.refused_on
        answered = answer is not None and answer <= today
        asked.append(row.asked_on.toordinal())
        end.append((answer if answered and answer is not None else today).toordinal())
        over.append(answered and row.granted_on is not None)
        refused.append(answered and row.granted_on is None)
    return _Records(
        np.array(asked, dtype=np.int64),
        np.array(end, dtype=np.int64),
        np.array(over, dtype=np.bool_),
        np.array(refused, dtype=np.bool_),
        {name: np.array(numbers, dtype=np.int64) for name, numbers in of.items()},
    )


class History:
    """Curves are worked out once, when asked for."""

    def __init__(
        self,
        rows: Iterable[LeadTime],
        today: date,
        clocks: Mapping[str, DayClock] | None = None,
        half_life_days: float | None = None,
    ) -> None:
        """Requests made later than `today` do not count; answers later than it have not come.

        Args:
            rows: the record.
            today: the day on which it is read.
            clocks: by whom is asked, where not every day counts.
            half_life_days: an answer of so many calendar days ago counts half; None: all alike.
        """
        self._today, self._half_life = today.toordinal(), half_life_days
        self._clocks = clocks or {}
        by_kind: dict[str, list[LeadTime]] = {}
        for row in rows:
            if row.asked_on <= today:
                by_kind.setdefault(row.kind, []).append(row)
        self._records = {kind: _records(found, today) for kind, found in by_kind.items()}
        self._pools: dict[tuple[str, DayClock], Curve] = {}
        self._waits: dict[tuple[str, str], Waits | None] = {}

    def clock(self, authority: str) -> DayClock:
        """How it counts days."""
        return self._clocks.get(authority, CALENDAR)

    def waits(self, kind: str, authority: str) -> Waits | None:
        """Waits for a kind with an authority (empty: not known whom); None without any record."""
        key = (kind, authority)
        if key not in self._waits:
            records = self._records.get(kind)
            self._waits[key] = None if records is None else self._of(records, kind, authority)
        return self._waits[key]

    def _of(self, records: _Records, kind: str, authority: str) -> Waits:
        clock = self.clock(authority)
        if (kind, clock) not in self._pools:
            self._pools[kind, clock] = self._curve(records, clock, slice(None))
        own = records.of.get(authority) if authority else None
        curve = None if own is None else self._curve(records, clock, own)
        return Waits(curve, self._pools[kind, clock], clock)

    def _curve(self, records: _Records, clock: DayClock, which: Whole | slice) -> Curve:
        end = records.end[which]
        waits = clock.between(records.asked[which], end).astype(np.float64)
        weights = None
        if self._half_life is not None:
            weights = 0.5 ** ((self._today - end) / self._half_life)
        return kaplan_meier(waits, records.over[which], weights, records.refused[which])


def history_of(branch: Branch, today: date) -> History:
    """The branch's record as its settings and its authorities' days say."""
    return History(
        branch.lead_times,
        today,
        clocks_of(branch, today),
        branch.settings.lead_time_half_life_days,
    )
