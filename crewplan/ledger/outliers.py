"""Plan against actual, job by job, and which jobs stand far out among the branch's own."""

import math
from collections.abc import Mapping

import numpy as np

from crewplan.model.ledger import Standing
from crewplan.model.owner import JobPace

LEAST_JOBS = 8
"""With fewer no job is called an outlier. Assumed."""
_FENCE = 1.5
"""Tukey's: so many times the distance of the quartiles beyond them. Source: Tukey, Exploratory
Data Analysis, 1977."""


def job_paces(standings: Mapping[str, Standing]) -> tuple[JobPace, ...]:
    """Hours worked for each earned one up to a day, furthest over first; ties by name.

    The fences lie around the logarithms, so that twice and half the planned hours are as far.
    """
    rows = [
        (job, one.earned_h, one.worked_h)
        for job, one in standings.items()
        if one.earned_h > 0 and one.worked_h > 0
    ]
    logs = [math.log(worked / earned) for _, earned, worked in rows]
    low, high = (-math.inf, math.inf) if len(rows) < LEAST_JOBS else _fences(logs)
    found = [
        JobPace(job, earned, worked, "over" if at > high else "under" if at < low else "")
        for (job, earned, worked), at in zip(rows, logs, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: (-one.times, one.job)))


def _fences(logs: list[float]) -> tuple[float, float]:
    quarter, three = np.quantile(np.array(logs), (0.25, 0.75))
    room = _FENCE * (three - quarter)
    return float(quarter - room), float(three + room)
