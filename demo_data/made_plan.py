"""Last week's published plan of the invented company, as it stood on Friday 1 May."""

from invented import Row

COLUMNS = ("stage", "part", "crew", "start_on", "start_half", "half_days", "pinned")

# stage, crew, start, half, half-days, pinned
PLAN = (
    ("J10-roof", "Cedar", "2026-05-04", "am", 2, "no"),
    ("J11-roof", "Dogwood", "2026-05-04", "am", 1, "no"),
    ("J12-roof", "Fir", "2026-05-04", "am", 2, "no"),
)

CONFIRMED: dict[str, str] = {}
"""The customers' word on published days, by job: state of `customer_confirmed`."""


def plan() -> list[Row]:
    """All rows of the table `plan`."""
    return [
        {
            "stage": stage,
            "part": 1,
            "crew": crew,
            "start_on": start_on,
            "start_half": half,
            "half_days": half_days,
            "pinned": pinned,
        }
        for stage, crew, start_on, half, half_days, pinned in PLAN
    ]
