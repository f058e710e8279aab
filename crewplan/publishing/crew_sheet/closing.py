"""Checks before the crew leaves, with room for what was found."""

from collections.abc import Iterator

from crewplan.publishing.crew_sheet.blocks import Block, Grid, Section, Words
from crewplan.publishing.crew_sheet.briefing import authority_row
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.expected_power import TEMPERATURE_SHARE_PER_K, expected_power_w
from crewplan.publishing.screen_units import quantity
from crewplan.publishing.tape import tape_words

_SHEET = "maker's sheet: ________"
_IRRADIANCES_WM2 = (200, 400, 600, 800, 1000)
_CELLS_C = (15, 25, 45, 65)

Check = tuple[str, str]
"""What to check, and what is asked for."""


def _torque(facts: SheetFacts, column: str) -> str:
    """As the racking's row states it from its maker's sheet; else room to write it in."""
    told = []
    for racking in dict.fromkeys(facts.rackings):
        value: float | None = getattr(racking, column)
        if value is None:
            return _SHEET
        source = racking.source or "no source given"
        told.append(f"{quantity(value, 'Nm', facts.units)} ({racking.racking}: {source})")
    return "; ".join(told) or _SHEET


def _holes(facts: SheetFacts) -> Iterator[Check]:
    """Holes, where the covering has any; seam clamps where they make none."""
    covering = {plane.plane: plane.covering for plane in facts.planes}
    counts = [(covering.get(row.plane), row.attachments) for row in facts.takeoff.planes]
    holed = sum(count for kind, count in counts if kind != "metal")
    clamped = sum(count for kind, count in counts if kind == "metal")
    if holed:
        yield "Every attachment flashed and sealed, no hole left over", f"{holed} on the roof"
    if clamped:
        yield "Seam clamps on seams only, no hole in the roof", f"{clamped} on the roof"


def _of_roof(facts: SheetFacts) -> Iterator[Check]:
    yield "Look: rows straight, glass and frames whole, gaps even", "nothing to see"
    yield "Position from the eave, ridge and edges", "as drawn; set-backs kept"
    for marks in facts.marks:
        half = tape_words(marks.square.diagonal_mm, facts.units)
        apart = tape_words(marks.square.tolerance_mm, facts.units)
        yield f"Plane {marks.plane}: both diagonals", f"{half}, {apart} apart at most"
    yield from _holes(facts)
    yield "Torque: attachments and lags", _torque(facts, "attachment_torque_nm")
    yield "Torque: rails and splices", _torque(facts, "rail_torque_nm")
    yield "Torque: mid clamps and end clamps", _torque(facts, "clamp_torque_nm")
    yield "Torque: bonding lugs", _torque(facts, "bonding_torque_nm")
    yield "Bonding: from the farthest module to the ground conductor", "local code: ______ ohm"
    yield "Leads clipped, none touches the roof or an edge", "nothing hangs"
    yield "Roof, gutters and ground clear; anchors as agreed", "nothing left"


def _of_wires(facts: SheetFacts) -> Iterator[Check]:
    yield "Torque: terminals and lugs", _SHEET
    yield "Bonding and grounding, by who is licensed", "local code: ______ ohm"
    yield "Polarity and voltage before closing", "maker's sheet: ______ V"
    row = authority_row(facts)
    yield "Labels and placards", (row and row.labels_note) or "as the authority asks"
    yield "Lock-out taken off by who put it on", "name: ____________"


def _of_visit(_: SheetFacts) -> Iterator[Check]:
    yield "Result, and what was asked for", "passed / to do: ____________"
    yield "Papers and cards left where the authority wants them", ""


_CHECKS = {
    "roof": (_of_roof,),
    "return": (_of_roof,),
    "electrical": (_of_wires,),
    "inspection": (_of_visit,),
    "commissioning": (_of_wires, _of_visit),
}
_POWER_KINDS = ("roof", "electrical", "commissioning")


def closing_checks(facts: SheetFacts) -> tuple[Check, ...]:
    """For the stage's kind."""
    return tuple(check for part in _CHECKS[facts.stage.kind] for check in part(facts))


def _power(facts: SheetFacts) -> list[Block]:
    rated_w = facts.takeoff.power_w
    share = TEMPERATURE_SHARE_PER_K * 100
    rows = tuple(
        (
            str(irradiance),
            *(f"{expected_power_w(rated_w, irradiance, cell) / 1000:.2f}" for cell in _CELLS_C),
        )
        for irradiance in _IRRADIANCES_WM2
    )
    columns = ("W/m² on the modules", *(f"kW at cells of {cell} °C" for cell in _CELLS_C))
    return [
        Words(
            f"Power against expected, once it may be switched on: the whole system is rated"
            f" {rated_w / 1000:.2f} kW. Expected = rated × irradiance / 1000 × (1 + γ × (cell"
            f" temperature − 25 °C)); the table takes γ = {share:.2f} % a kelvin (assumed; the"
            " module maker's sheet comes first). The meter shows less: inverters lose some and stop"
            " at their rating.",
        ),
        Grid(columns, rows, (0.24, 0.19, 0.19, 0.19, 0.19), figures=(0, 1, 2, 3, 4)),
        Words(
            "Measured: irradiance ______ W/m², cells ______ °C, power ______ kW; expected ______"
            " kW; measured / expected ______ %. Not switched on yet, because ____________"
        ),
    ]


def closing(facts: SheetFacts) -> Section:
    """Look, position, torque, bonding, power; found and signed."""
    rows = tuple((*check, "", "") for check in closing_checks(facts))
    columns = ("Check", "Asked for", "Found", "By")
    blocks: list[Block] = [Grid(columns, rows, (0.42, 0.28, 0.18, 0.12), ticks=True, tall=True)]
    if facts.stage.kind in _POWER_KINDS and facts.takeoff.power_w > 0:
        blocks += _power(facts)
    blocks.append(Words("Closed by ____________________ on ____________ at ________."))
    return Section("Closing checks", tuple(blocks), own_page=True)
