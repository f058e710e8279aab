"""How likely one requirement is in hand by each day."""

from datetime import date

import numpy as np
from numpy.typing import NDArray

from crewplan.model.job_rows import Job
from crewplan.model.readiness import NeedChance
from crewplan.model.waiting_rows import Requirement
from crewplan.readiness.curves import History
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
) -> NeedChance:
    """Chance of one kind over `days` (ordinals of dates), as known on `today`.

    Granted 1 from its day on, not needed 1, open and refused 0. Asked: the chance that a wait as
    long as this one so far is over by then; without any record of that kind 0.
    """
    if row is None or row.state == "open":
        return NeedChance(kind, "open", np.zeros_like(days), _not_asked(kind) + _expected(row))
    if row.state == "not_needed":
        return NeedChance(kind, row.state, np.ones_like(days), "")
    if row.state == "refused":
        return NeedChance(kind, row.state, np.zeros_like(days), "")
    if row.state == "granted":
        if row.granted_on is None:
            return NeedChance(kind, row.state, np.ones_like(days), "")
        in_hand = (days >= row.granted_on.toordinal()).astype(np.float64)
        return NeedChance(kind, row.state, in_hand, f"on {row.granted_on}")
    asked_on = row.asked_on or today
    waited = max(0, (today - asked_on).days)
    asked = f"on {row.asked_on or 'an unknown day'}"
    waits = history.waits(kind, asked_of(kind, job))
    if waits is None:
        note = f"{NO_RECORD}, {asked}{_expected(row)}"
        return NeedChance(kind, row.state, np.zeros_like(days), note)
    chance = waits.chance_by(days - asked_on.toordinal(), waited)
    return NeedChance(kind, row.state, chance, asked + _expected(row))


def _not_asked(kind: str) -> str:
    return "inspection not passed" if kind == INSPECTION_PASSED else "not asked for"


def _expected(row: Requirement | None) -> str:
    """Shown, never counted as a chance."""
    return f", expected {row.expected_on}" if row and row.expected_on else ""
