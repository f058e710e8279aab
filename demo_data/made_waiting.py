"""Invented permits and other approvals: what the jobs wait for, and how long others waited."""

from datetime import date, timedelta

import numpy as np
from invented import AUTHORITIES, FIRST_DAY, UTILITIES, Row, dice
from made_jobs import BUILT, CALL_BACKS
from made_roofs import SETBACK_MM

REQUIREMENT_COLUMNS = (
    "job",
    "kind",
    "state",
    "asked_on",
    "granted_on",
    "expected_on",
    "expires_on",
)
LEAD_TIME_COLUMNS = ("kind", "authority", "asked_on", "granted_on", "refused_on")
AUTHORITY_COLUMNS = (
    "authority",
    "asks_for",
    "inspections_per_day",
    "notice_days",
    "ridge_setback_mm",
    "edge_setback_mm",
    "crew_note",
    "source",
    "counts_days",
    "holidays_country",
    "holidays_subdivision",
    "bonding_note",
    "labels_note",
    "checked_on",
)
INSPECTION_COLUMNS = ("authority", "inspected_on", "passed", "job", "return_h")

# What is not simply granted: (job, kind) -> state, asked_on, expected_on.
TROUBLES: dict[tuple[str, str], tuple[str, str, str]] = {
    ("J20", "permit"): ("open", "", ""),
    ("J21", "permit"): ("asked", "2026-03-16", "2026-04-24"),
    ("J22", "permit"): ("refused", "2026-03-30", ""),
    ("J23", "permit"): ("asked", "2026-04-21", "2026-05-06"),
    ("J24", "permit"): ("asked", "2026-04-24", "2026-05-22"),
    ("J35", "structural_letter"): ("open", "", ""),
    ("J37", "utility_approval"): ("asked", "2026-04-20", "2026-05-07"),
    ("J03", "permission_to_operate"): ("asked", "2026-04-22", "2026-05-08"),
    ("J04", "permission_to_operate"): ("open", "", ""),
}
LETTER_FROM = AUTHORITIES[2]
"""The authority that asks for a structural letter."""

# (kind, who is asked) -> median days, spread of their logarithm, requests on record.
PAST = {
    ("permit", AUTHORITIES[0]): (9, 0.35, 36),
    ("permit", AUTHORITIES[1]): (17, 0.45, 30),
    ("permit", AUTHORITIES[2]): (33, 0.55, 24),
    ("utility_approval", UTILITIES[0]): (12, 0.35, 18),
    ("utility_approval", UTILITIES[1]): (16, 0.45, 18),
    ("permission_to_operate", UTILITIES[0]): (11, 0.3, 12),
    ("permission_to_operate", UTILITIES[1]): (13, 0.35, 12),
}
PERMIT_LASTS = timedelta(days=180)
# First inspections on record, by authority: how many, and how many of them failed.
FIRST_VISITS = {AUTHORITIES[0]: (20, 4), AUTHORITIES[1]: (16, 2), AUTHORITIES[2]: (5, 2)}
FIRST_REQUEST = date(2025, 7, 1)


PLACARD = "placard with the roof's plan at the meter"


def kinds_of(job: Row) -> list[str]:
    """The requirements that stand in the table for a job."""
    if job["job"] in CALL_BACKS:
        return []
    kinds = ["permit", "survey"]
    if job["electrical"] != "none":
        kinds.append("utility_approval")
    if job["authority"] == LETTER_FROM:
        kinds.append("structural_letter")
    if job["job"] in BUILT[:4]:
        kinds.append("permission_to_operate")
    return kinds


def requirements(jobs: list[Row], confirmed: dict[str, str]) -> list[Row]:
    """All rows of the table `requirements`; `confirmed` is the customers' word by job."""
    rows: list[Row] = []
    for job in jobs:
        rng = dice(f"requirements {job['job']}")
        for kind in kinds_of(job):
            asked = date(2026, 2, 9) + timedelta(days=int(rng.integers(0, 30)))
            row: Row = {"job": job["job"], "kind": kind}
            trouble = TROUBLES.get((str(job["job"]), kind))
            if trouble:
                state, asked_on, expected_on = trouble
                row |= {"state": state, "asked_on": asked_on, "expected_on": expected_on}
            else:
                granted = asked + timedelta(days=int(rng.integers(6, 20)))
                if kind == "permission_to_operate":
                    granted = date(2026, 4, 30)
                row |= {"state": "granted", "asked_on": asked, "granted_on": granted}
                if kind == "permit":
                    row["expires_on"] = granted + PERMIT_LASTS
            rows.append(row)
        if str(job["job"]) in confirmed:
            state = confirmed[str(job["job"])]
            rows.append({"job": job["job"], "kind": "customer_confirmed", "state": state})
    return rows


def lead_times() -> list[Row]:
    """All rows of the table `lead_times`; what is not granted by the demo's clock is left open."""
    rng = dice("lead_times")
    rows: list[Row] = []
    for (kind, asked_of), (median, spread, count) in PAST.items():
        for _ in range(count):
            asked = FIRST_REQUEST + timedelta(days=int(rng.integers(0, 300)))
            days = max(1, round(float(median * np.exp(spread * rng.standard_normal()))))
            granted = asked + timedelta(days=days)
            rows.append(
                {
                    "kind": kind,
                    "authority": asked_of,
                    "asked_on": asked,
                    "granted_on": granted if granted < FIRST_DAY else "",
                }
            )
    return sorted(rows, key=lambda row: (str(row["asked_on"]), str(row["kind"])))


def authorities() -> list[Row]:
    """All rows of the table `authorities`."""
    notes = {
        AUTHORITIES[0]: ("", 1, 1, "inspector wants the permit card on site", PLACARD),
        AUTHORITIES[1]: ("", 2, 2, "no street parking before eight", PLACARD),
        AUTHORITIES[2]: ("structural_letter", 1, 3, "keep the letter with the permit card", ""),
    }
    return [
        {
            "authority": authority,
            "asks_for": asks_for,
            "inspections_per_day": per_day,
            "notice_days": notice,
            "ridge_setback_mm": SETBACK_MM[authority][0],
            "edge_setback_mm": SETBACK_MM[authority][1],
            "crew_note": note,
            "source": "invented",
            "counts_days": "calendar",
            "bonding_note": "one bare conductor to the farthest rail",
            "labels_note": labels,
            "checked_on": date(2026, 3, 2),
        }
        for authority, (asks_for, per_day, notice, note, labels) in notes.items()
    ]


def inspections() -> list[Row]:
    """All rows of the table `inspections`: first visits of the year before the demo's clock."""
    rng = dice("inspections")
    rows: list[Row] = []
    for authority, (count, failed) in FIRST_VISITS.items():
        for number in range(count):
            day = FIRST_DAY - timedelta(days=int(rng.integers(20, 360)))
            row: Row = {"authority": authority, "inspected_on": day, "passed": "yes"}
            if number < failed:
                row |= {"passed": "no", "return_h": int(rng.integers(2, 9))}
            rows.append(row)
    return sorted(rows, key=lambda row: str(row["inspected_on"]))
