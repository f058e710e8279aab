"""Shares of a job's work among its stages of one kind."""

from collections import defaultdict

from crewplan.intake.checks.tables import Tables, fault_at
from crewplan.intake.faults import Report

_ROUNDING = 1e-6
"""Three stages of 0.3333 and 0.3334 are one whole."""


def check_shares(tables: Tables, report: Report) -> None:
    """Stages of one job and kind share no more than one whole; told at the row that goes over."""
    given: dict[tuple[str, str], float] = defaultdict(float)
    told: set[tuple[str, str]] = set()
    for parsed, row in tables.rows("stages"):
        share = row.values.get("share")
        if share is None or not {"job", "kind"} <= row.values.keys():
            continue
        of = (row.values["job"], row.values["kind"])
        given[of] += share
        if given[of] > 1 + _ROUNDING and of not in told:
            told.add(of)
            problem = f"the shares of job {of[0]}, kind {of[1]}, add up to {given[of]:.4g} here"
            fault_at(parsed, row, "share", "1 or less in all", problem, report)
