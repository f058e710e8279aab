"""Invented crews and people, what they may do and when they are away."""

from invented import Row, dice

CREW_COLUMNS = ("crew", "base_latitude", "base_longitude", "equipment", "equipment_due_on")
PEOPLE_COLUMNS = ("person", "crew", "role", "cost_per_h", "pace", "phone")
CERTIFICATE_COLUMNS = ("person", "certificate", "expires_on")
ABSENCE_COLUMNS = ("person", "first_day", "last_day", "reason")

BASES = {"main yard": (46.79, -92.13), "north yard": (47.03, -92.22)}
CREW_BASE = {
    "Alder": "main yard",
    "Birch": "main yard",
    "Cedar": "main yard",
    "Dogwood": "main yard",
    "Elm": "main yard",
    "Fir": "north yard",
    "Gorse": "north yard",
}
OWN_EQUIPMENT = {"Alder": "hoist;ladder_hoist", "Fir": "hoist;ladder_hoist"}

PEOPLE = (
    ("Orla Tindrel", "Alder", "lead"),
    ("Bram Oskett", "Alder", "lead"),
    ("Wenna Dulcroft", "Alder", "installer"),
    ("Piet Farrowby", "Alder", "trainee"),
    ("Sabra Quimbel", "Birch", "lead"),
    ("Noll Hestrake", "Birch", "electrician"),
    ("Ludo Marwen", "Birch", "installer"),
    ("Tamsy Oakrun", "Birch", "installer"),
    ("Edda Varnlow", "Cedar", "lead"),
    ("Corin Plashet", "Cedar", "installer"),
    ("Mirel Tovask", "Cedar", "installer"),
    ("Hob Lanteri", "Dogwood", "lead"),
    ("Jessa Crundle", "Dogwood", "electrician"),
    ("Arvo Skellin", "Dogwood", "installer"),
    ("Rilla Podmarsh", "Elm", "lead"),
    ("Dov Harkness-Peel", "Elm", "installer"),
    ("Ismay Trebolt", "Elm", "installer"),
    ("Garrick Umbel", "Fir", "lead"),
    ("Petra Loxwith", "Fir", "lead"),
    ("Sol Wendrick", "Fir", "electrician"),
    ("Anneke Brusk", "Fir", "trainee"),
    ("Thora Millpond", "Gorse", "lead"),
    ("Kester Vail-Amble", "Gorse", "electrician"),
    ("Una Drossel", "Gorse", "installer"),
)
COST_PER_H = {"lead": 47.0, "electrician": 45.0, "installer": 36.6, "trainee": 27.0}
PACE = {"lead": 1.1, "electrician": 1.05, "installer": 1.0, "trainee": 0.7}

BOOM_OPERATORS = ("Bram Oskett", "Edda Varnlow")
RUNS_OUT = ("Sol Wendrick", "electrician", "2026-05-06")
"""The only electrician of crew Fir: good until the Wednesday."""

ABSENCES = (
    ("Rilla Podmarsh", "2026-05-05", "2026-05-06", "family day"),  # the only lead of crew Elm
    ("Tamsy Oakrun", "2026-05-11", "2026-05-13", "holiday"),
    ("Piet Farrowby", "2026-05-08", "2026-05-08", "course"),
    ("Una Drossel", "2026-04-20", "2026-04-22", "sick"),
)


def crews() -> list[Row]:
    """All rows of the table `crews`."""
    return [
        {
            "crew": crew,
            "base_latitude": BASES[base][0],
            "base_longitude": BASES[base][1],
            "equipment": OWN_EQUIPMENT.get(crew, "hoist"),
            "equipment_due_on": "2026-10-31",
        }
        for crew, base in CREW_BASE.items()
    ]


def people() -> list[Row]:
    """All rows of the table `people`; 555-01 numbers are kept free for made-up people."""
    rng = dice("people")
    return [
        {
            "person": person,
            "crew": crew,
            "role": role,
            "cost_per_h": f"{COST_PER_H[role] + float(rng.integers(-2, 3)):.1f}",
            "pace": f"{PACE[role] + 0.05 * float(rng.integers(-1, 2)):.2f}",
            "phone": f"555-01{n:02}",
        }
        for n, (person, crew, role) in enumerate(PEOPLE)
    ]


def certificates() -> list[Row]:
    """All rows of the table `certificates`."""
    rows: list[Row] = []
    for person, _, role in PEOPLE:
        if role != "trainee":
            rows.append({"person": person, "certificate": "roof_anchor"})
        if role == "electrician":
            until = RUNS_OUT[2] if person == RUNS_OUT[0] else "2027-03-31"
            rows.append({"person": person, "certificate": "electrician", "expires_on": until})
        if person in BOOM_OPERATORS:
            rows.append(
                {"person": person, "certificate": "boom_operator", "expires_on": "2026-11-30"}
            )
    return rows


def absences() -> list[Row]:
    """All rows of the table `absences`."""
    return [
        {"person": person, "first_day": first, "last_day": last, "reason": reason}
        for person, first, last, reason in ABSENCES
    ]
