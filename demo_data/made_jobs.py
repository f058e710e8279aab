"""Invented customers, their roofs and the stages of their jobs.

`STORIES` holds what is written by hand, one entry for each trouble that the demo must show; the
dice fill in the rest. README.md lists the troubles.
"""

from datetime import date, timedelta

import numpy as np
from invented import AUTHORITIES, PLACES, UTILITIES, Row, dice
from made_roofs import MODULE_MM, roof

JOB_COLUMNS = (
    "job",
    "customer",
    "address",
    "contact",
    "phone",
    "access_note",
    "latitude",
    "longitude",
    "authority",
    "utility",
    "price",
    "earliest_on",
    "due_on",
    "priority",
    "lift_method",
    "storeys",
    "electrical",
    "customer_days",
    "wind_factor",
    "wind_factor_source",
)
STAGE_COLUMNS = (
    "stage",
    "job",
    "kind",
    "after",
    "gap_days",
    "certificates",
    "equipment",
    "min_people",
    "share",
)

JOBS = 50
BUILT = tuple(f"J{n:02}" for n in range(1, 8))
"""Roof and electrical work are done."""
INSPECTED, TO_INSPECT = BUILT[:4], BUILT[4:]
ROOF_DONE = ("J08", "J09")
HALF_DONE = ("J10", "J11", "J12")
CALL_BACKS = ("J13", "J14")
NO_ROOF_WORK = ("J15", "J16", "J17", "J18")
ELECTRICAL = {"J19", "J21", "J27", "J29", "J33", "J34", "J37", "J38", "J40", "J42", "J45", "J48"}
"""Of the jobs that are not begun: those whose electrical work the branch does itself."""

# What is not left to the dice. `at` is a place and km north and east of it.
STORIES: dict[str, Row] = {
    "J08": {"at": ("Quillmere", 2.0, -1.5), "storeys": 1, "due_on": "2026-05-08"},
    "J09": {"at": ("Quillmere", 2.6, -2.1), "storeys": 1, "due_on": "2026-05-08"},
    "J15": {"electrical": "battery", "due_on": "2026-05-12"},
    "J16": {"electrical": "panel_upgrade", "due_on": "2026-05-14"},
    "J17": {"electrical": "battery", "due_on": "2026-05-20"},
    "J18": {"electrical": "panel_upgrade", "due_on": "2026-05-08"},
    "J19": {"due_on": "2026-04-24", "priority": 1},
    "J20": {"due_on": "2026-05-15"},
    "J21": {"due_on": "2026-05-06", "authority": AUTHORITIES[0], "at": ("Quillmere", -3.0, -4.0)},
    "J22": {"due_on": "2026-05-13"},
    "J23": {"due_on": "2026-05-15", "authority": AUTHORITIES[0], "at": ("Quillmere", 4.0, -6.0)},
    "J24": {"due_on": "2026-05-29", "authority": AUTHORITIES[2]},
    "J25": {"module": "M430", "rows": ("8;8",), "due_on": "2026-05-11"},
    "J26": {"module": "M430", "rows": ("9;9",), "due_on": "2026-05-12"},
    "J27": {"lift_method": "boom", "storeys": 3, "due_on": "2026-05-08"},
    "J28": {"lift_method": "boom", "storeys": 3, "due_on": "2026-05-08"},
    "J29": {"customer_days": "2026-05-05..2026-05-07;2026-05-11", "due_on": "2026-05-11"},
    "J30": {"customer_days": "2026-05-07", "due_on": "2026-05-07"},
    "J31": {"customer_days": "2026-05-08..2026-05-15", "due_on": "2026-05-15"},
    "J35": {"authority": AUTHORITIES[2], "due_on": "2026-05-15"},
}

FIRST_NAMES = (
    *("Abel", "Brielle", "Casper", "Dunya", "Emeric"),
    *("Fenna", "Gaspar", "Hetty", "Ivor", "Jorun"),
)
LAST_NAMES = ("Ambleroth", "Brackwin", "Cottlemoor", "Dunmarrow", "Ellaby-Stroud")
STREETS = (
    *("Lantern Row", "Kettle Lane", "Thimble Street"),
    *("Otterpath", "Copper Beech Way", "Drumlin Road"),
)
ACCESS = ("", "", "gate on the left stays shut", "dog in the yard", "park on the street", "")
EXTRA_PRICE = {"none": -1500.0, "standard": 0.0, "panel_upgrade": 4200.0, "battery": 11500.0}


def job_names() -> list[str]:
    """J01, J02 ..."""
    return [f"J{n:02}" for n in range(1, JOBS + 1)]


def _site(rng: np.random.Generator, story: Row) -> tuple[str, float, float]:
    """A place and the site's coordinates, at most 14 km from it."""
    place = "Quillmere" if rng.random() < 0.62 else "Tamberley"
    far, turn = 2 + 11 * rng.random(), 2 * np.pi * rng.random()
    north, east = float(far * np.sin(turn)), float(far * np.cos(turn))
    if "at" in story:
        place, north, east = story["at"]
    latitude, longitude = PLACES[place]
    return (
        place,
        latitude + north / 111.2,
        longitude + east / (111.2 * np.cos(np.radians(latitude))),
    )


def _price(rng: np.random.Generator, planes: list[Row], electrical: str, job: str) -> float:
    """What the customer pays (USD)."""
    if job in NO_ROOF_WORK:
        return round(EXTRA_PRICE[electrical] + 900 * float(rng.random()) + 8500, -1)
    modules = sum(int(n) for plane in planes for n in str(plane["rows"]).split(";"))
    watts = modules * MODULE_MM[str(planes[0]["module"])][2]
    return round(min(watts * (2.75 + 0.5 * rng.random()) + EXTRA_PRICE[electrical], 45000.0), -1)


def _due(rng: np.random.Generator, job: str) -> str:
    """The promise: long past for built jobs, else in the next weeks."""
    if job in BUILT:
        return str(date(2026, 5, 11) + timedelta(days=int(rng.integers(0, 12))))
    return str(date(2026, 5, 6) + timedelta(days=int(rng.integers(0, 19))))


def jobs_and_planes() -> tuple[list[Row], list[Row]]:
    """All rows of the tables `jobs` and `planes`."""
    jobs: list[Row] = []
    planes: list[Row] = []
    for n, job in enumerate(job_names()):
        rng = dice(f"job {job}")
        story = dict(STORIES.get(job, {}))
        place, latitude, longitude = _site(rng, story)
        storeys = int(rng.choice([1, 1, 2, 2]))
        story.setdefault("storeys", storeys)
        town = AUTHORITIES[0] if place == "Quillmere" else AUTHORITIES[1]
        authority = str(story.get("authority", AUTHORITIES[2] if rng.random() < 0.2 else town))
        usual = "standard" if n < 18 or job in ELECTRICAL else "none"
        electrical = str(story.get("electrical", usual))
        if job in CALL_BACKS:
            electrical = "none"
        own_planes = roof(rng, job, story, authority)
        customer = f"{FIRST_NAMES[n % 10]} {LAST_NAMES[n // 10]}"
        planes += own_planes
        jobs.append(
            {
                "job": job,
                "customer": customer,
                "address": f"{int(rng.integers(1, 90))} {STREETS[n % len(STREETS)]}, {place}",
                "contact": customer,
                "phone": f"555-01{30 + n:02}",
                "access_note": ACCESS[int(rng.integers(len(ACCESS)))],
                "latitude": f"{latitude:.4f}",
                "longitude": f"{longitude:.4f}",
                "authority": authority,
                "utility": UTILITIES[0] if place == "Quillmere" else UTILITIES[1],
                "price": f"{_price(rng, own_planes, electrical, job):.0f}",
                "earliest_on": "2026-04-06" if n < 12 or job == "J19" else "2026-05-04",
                "due_on": story.get("due_on", _due(rng, job)),
                "priority": story.get("priority", int(rng.choice([2, 2, 2, 3]))),
                "lift_method": story.get(
                    "lift_method", str(rng.choice(["hoist", "hoist", "hoist", "conveyor"]))
                ),
                "storeys": story["storeys"],
                "electrical": electrical,
                "customer_days": story.get("customer_days", ""),
                "wind_factor": "",
                "wind_factor_source": "",
            }
        )
    return jobs, planes


def stages(jobs: list[Row]) -> list[Row]:
    """All rows of the table `stages`."""
    rows: list[Row] = []

    def add(job: str, kind: str, after: str = "", **more: object) -> None:
        name = f"{job}-{kind}"
        rows.append({"stage": name, "job": job, "kind": kind, "after": after} | more)

    for row in jobs:
        job = str(row["job"])
        if job in CALL_BACKS:
            add(job, "return", certificates="roof_anchor", min_people=2)
            continue
        has_roof = job not in NO_ROOF_WORK
        if has_roof:
            boom = row["lift_method"] == "boom"
            add(
                job,
                "roof",
                certificates="roof_anchor;boom_operator" if boom else "roof_anchor",
                equipment=row["lift_method"] if row["lift_method"] != "hoist" else "",
                min_people=3 if int(str(row["storeys"])) >= 3 else 2,
            )
        if row["electrical"] != "none":
            add(
                job,
                "electrical",
                after=f"{job}-roof" if has_roof else "",
                certificates="electrician",
                min_people=2,
            )
        if job in BUILT:
            add(job, "inspection", after=f"{job}-electrical", gap_days=1, min_people=1)
        if job in INSPECTED:
            add(job, "commissioning", after=f"{job}-inspection", min_people=1)
    return rows
