"""What the lead tells the crew before anybody starts, and who was told."""

import math
from collections.abc import Iterator, Mapping

from crewplan.model.job_rows import Electrical, Plane
from crewplan.model.takeoff import PlaneTakeOff
from crewplan.model.waiting_rows import Authority
from crewplan.publishing.crew_sheet.blocks import Grid, Lines, Section, Words
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.day_words import day_words
from crewplan.publishing.screen_units import UnitSystem, quantity
from crewplan.publishing.tape import lengths_in, tape_words
from crewplan.publishing.uplift_words import uplift_words
from crewplan.publishing.waiting_words import plain

_GENERAL = (
    "Who leads, who watches the weather, and that anybody may stop the work.",
    "Emergency: number ____________, nearest hospital ____________, this address said aloud.",
    "First aid kit, fire extinguisher and water: where they stand.",
)
_ON_A_ROOF = (
    "Rescue: who brings somebody down, with what, within minutes.",
    "Anchors, ropes, harnesses and ladders were looked at today by ____________.",
    "The strip below the eave and the lift is closed to everybody else.",
    "Modules give voltage as soon as there is light.",
)
_STEEP_LAW_RISE = 4
"""Over 4 in 12 a roof is steep in law, 29 CFR 1926.500(b)."""
_WALK = ((4, "easy to walk"), (6, "moderate to walk"), (9, "steep"), (math.inf, "very steep"))
"""Up to this rise in 12; common practice, no source."""

_ELECTRICAL: Mapping[Electrical, str] = {
    "none": "",
    "standard": "",
    "panel_upgrade": "The panel is upgraded on this job: agree with the utility and the customer"
    " when the power is off.",
    "battery": "A battery comes with this job: it cannot be switched off; keep the maker's"
    " distances, two people carry.",
}


def _slope(plane: Plane) -> str:
    rise = math.tan(math.radians(plane.pitch_deg)) * 12
    word = next(text for most, text in _WALK if round(rise, 6) <= most)
    law = "; steep in law" if round(rise, 6) > _STEEP_LAW_RISE else ""
    return f"{plane.pitch_deg:g}° ({rise:.1f} in 12), {word}{law}"


def _planes(facts: SheetFacts) -> Iterator[str]:
    for plane in facts.planes:
        words = f"Plane {plane.plane}: {plane.covering}, {_slope(plane)}"
        if plane.eave_height_m is not None:
            words += f"; eave {quantity(plane.eave_height_m, 'm', facts.units)} up"
        if plane.unevenness_mm:
            out = tape_words(plane.unevenness_mm, facts.units)
            words += f"; {out} out of flat, take shims"
        if plane.covering == "metal":
            words += "; taken as standing seam (assumed): clamps on seams, no hole in the roof"
        yield words + "."


def authority_row(facts: SheetFacts) -> Authority | None:
    """What the tables say of who permits and inspects the job."""
    rows = facts.branch.authorities
    return next((row for row in rows if row.authority == facts.job.authority), None)


def _authority(facts: SheetFacts) -> Iterator[str]:
    name, row = facts.job.authority, authority_row(facts)
    if row is None:
        whom = f"what {name} asks for" if name else "who inspects, and what they ask for"
        yield f"Nothing is recorded: check locally {whom}."
        return
    kept = [
        f"{tape_words(value, facts.units)} {where}"
        for value, where in (
            (row.ridge_setback_mm, "below the ridge"),
            (row.edge_setback_mm, "at the edges"),
        )
        if value
    ]
    source = row.source or "no source given"
    if row.checked_on is not None:
        source += f", held to it on {row.checked_on.isoformat()}"
    told = [f"keep {' and '.join(kept)} free"] if kept else []
    told += [
        words
        for words in (
            row.crew_note,
            row.bonding_note and f"bonding: {row.bonding_note}",
            row.labels_note and f"labels: {row.labels_note}",
        )
        if words
    ]
    for words in told or ["nothing special is recorded"]:
        yield f"{name}: {words} (source: {source}; check locally)."


def _flagged(counted: PlaneTakeOff, units: UnitSystem) -> tuple[str, ...]:
    check = counted.uplift
    flagged = check is not None and check.word == "flagged"
    return (uplift_words(counted, units),) if flagged else ()


def special(facts: SheetFacts) -> tuple[str, ...]:
    """What is not the same on every roof."""
    job = facts.job
    told: list[str] = []
    if facts.on_roof:
        told += _planes(facts)
        if job.storeys > 1:
            told.append(f"{job.storeys} storeys below the eave.")
        told += [
            f"{text[:1].upper()}{lengths_in(text[1:], facts.units)}."
            for row in facts.takeoff.planes
            for text in (*row.problems, *_flagged(row, facts.units))
        ]
    told += _authority(facts)
    if job.access_note:
        told.append(f"Access: {job.access_note}.")
    if _ELECTRICAL[job.electrical]:
        told.append(_ELECTRICAL[job.electrical])
    if facts.stage.equipment:
        told.append(f"Equipment: {', '.join(map(plain, facts.stage.equipment))}.")
    cautions = dict.fromkeys(c for v in facts.verdicts for h in v.hours for c in h.cautions)
    told += [f"Weather: {caution}." for caution in cautions]
    told += [
        f"By the forecast {v.exposure} is {v.verdict} on {day_words(v.day)}."
        for v in facts.verdicts
        if v.verdict != "go"
    ]
    if facts.hours.begun:
        told.append("Work has begun here: look at what the last crew left before anybody goes up.")
    return (*told, "Seen on site (wires, dogs, neighbours, rot): ______________________________")


def briefing(facts: SheetFacts) -> Section:
    """General, special, and signed."""
    general = (*_GENERAL, *(_ON_A_ROOF if facts.on_roof else ()))
    told = tuple((person.person, person.role, "", "") for person in facts.people)
    contact = facts.job.contact or facts.job.customer
    rows = (*told, *((contact, "on site", "", "") for _ in range(1) if contact), ("",) * 4)
    return Section(
        "Briefing",
        (
            Words("The same on every site:", strong=True),
            Lines(general, ticks=True),
            Words("Special here:", strong=True),
            Lines(special(facts), ticks=True),
            Words("Who was told, and signs:", strong=True),
            Grid(("Name", "As", "Time", "Signed"), rows, (0.3, 0.2, 0.12, 0.38), tall=True),
        ),
        own_page=True,
    )
