"""How likely one requirement is in hand by each day."""

from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.job_rows import Job
from crewplan.model.readiness import NeedChance
from crewplan.model.waiting_rows import Requirement
from crewplan.readiness.history import History
from crewplan.readiness.needs import INSPECTION_PASSED

ASKED_OF_UTILITY = frozenset({"utility_approval", "permission_to_operate"})
"""Kinds that the job's utility grants; all others are its authority's."""
NO_RECORD = "no record"


def asked_of(kind: str, job: Job) -> str:
    """Whose record tells how long a kind of requirement takes; empty: not known whom."""
    return job.utility if kind in ASKED_OF_UTILITY else job.authority


def need_chance(
    kind: str,
    row: Requirement | None,
    job: Job,
    history: History,
    days: NDArray[np.float64],
    today: date,
    *,
    past_record: bool = False,
) -> NeedChance:
    """Chance of one kind over `days` (ordinals of dates), as known on `today`.

    Granted 1 from its day on and as long as it is good, not needed 1, open and refused 0. Asked:
    the chance that a wait as long as this one so far is over by then; without any record of that
    kind 0. With `past_record` the record's law goes on where the record ends: to tell a day by, and
    never to plan by.
    """
    if row is None or row.state == "open":
        return NeedChance(kind, "open", np.zeros_like(days), _not_asked(kind) + _expected(row))
    if row.state == "not_needed":
        return NeedChance(kind, row.state, np.ones_like(days), "")
    if row.state == "refused":
        return NeedChance(kind, row.state, np.zeros_like(days), "")
    if row.state == "granted":
        return _granted(kind, row, days)
    asked_on = row.asked_on or today
    asked = f"on {row.asked_on or 'an unknown day'}"
    whom = asked_of(kind, job)
    waits = history.waits(kind, whom)
    if waits is None:
        note = f"{NO_RECORD}, {asked}{_expected(row)}"
        return NeedChance(kind, row.state, np.zeros_like(days), note)
    clock, since = history.clock(whom), asked_on.toordinal()
    waited = max(0, int(clock.between(since, today.toordinal())))
    taken = clock.between(since, days.astype(np.int64))
    chance = waits.beyond(taken, waited) if past_record else None
    if chance is None:
        chance = waits.chance_by(taken, waited)
    return NeedChance(kind, row.state, chance, asked + _expected(row))


def _granted(kind: str, row: Requirement, days: NDArray[np.float64]) -> NeedChance:
    in_hand, notes = np.ones(len(days), dtype=np.bool_), []
    if row.granted_on is not None:
        in_hand &= days >= row.granted_on.toordinal()
        notes.append(f"on {row.granted_on}")
    if row.expires_on is not None:
        in_hand &= days <= row.expires_on.toordinal()
        notes.append(f"good until {row.expires_on}")
    p = in_hand.astype(np.float64)
    return NeedChance(kind, row.state, p, ", ".join(notes), row.expires_on)


def _not_asked(kind: str) -> str:
    return "inspection not passed" if kind == INSPECTION_PASSED else "not asked for"


def _expected(row: Requirement | None) -> str:
    """Shown, never counted as a chance."""
    return f", expected {row.expected_on}" if row and row.expected_on else ""
