"""Last week's published plan of the invented company, as it stood on Friday 1 May."""

from invented import Row

COLUMNS = ("stage", "part", "crew", "start_on", "start_half", "half_days", "pinned", "lent")

# stage, crew, start, half, half-days, pinned
PLAN = (
    ("J27-roof", "Alder", "2026-05-04", "am", 3, "no"),
    ("J19-roof", "Birch", "2026-05-04", "am", 3, "no"),
    ("J10-roof", "Cedar", "2026-05-04", "am", 3, "no"),
    ("J11-roof", "Dogwood", "2026-05-04", "am", 2, "no"),
    ("J13-return", "Elm", "2026-05-04", "am", 1, "no"),
    ("J02-commissioning", "Elm", "2026-05-04", "pm", 1, "no"),
    ("J12-roof", "Fir", "2026-05-04", "am", 2, "no"),
    ("J36-roof", "Gorse", "2026-05-04", "am", 4, "no"),
    ("J08-electrical", "Dogwood", "2026-05-05", "am", 1, "no"),
    ("J09-electrical", "Dogwood", "2026-05-05", "pm", 1, "no"),
    ("J41-roof", "Elm", "2026-05-05", "am", 4, "no"),  # the crew's only lead is away since
    ("J12-electrical", "Fir", "2026-05-05", "am", 1, "no"),
    ("J50-roof", "Alder", "2026-05-06", "am", 3, "no"),  # published before the wind was seen
    ("J18-electrical", "Dogwood", "2026-05-06", "am", 2, "no"),
    ("J44-roof", "Gorse", "2026-05-08", "am", 4, "yes"),  # promised to the customer by hand
    ("J28-roof", "Alder", "2026-05-08", "am", 4, "no"),
)

CONFIRMED = {
    "J27": "granted",
    "J19": "granted",
    "J10": "granted",
    "J11": "granted",
    "J13": "granted",
    "J02": "granted",
    "J12": "granted",
    "J36": "asked",
    "J08": "granted",
    "J41": "granted",
    "J44": "granted",
}
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
            "lent": "",
        }
        for stage, crew, start_on, half, half_days, pinned in PLAN
    ]
