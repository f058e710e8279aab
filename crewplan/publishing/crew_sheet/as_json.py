"""The sheet as JSON: lengths in mm, hours in person-hours, chances 0 to 1."""

from dataclasses import asdict
from typing import Any

from crewplan.model.marks import PlaneMarks
from crewplan.model.takeoff import StockCut
from crewplan.publishing.crew_sheet.briefing import special
from crewplan.publishing.crew_sheet.closing import closing_checks
from crewplan.publishing.crew_sheet.facts import SheetFacts
from crewplan.publishing.crew_sheet.head import banner
from crewplan.publishing.crew_sheet.loading import load_lines, tool_lines
from crewplan.publishing.crew_sheet.weather import wind_line
from crewplan.publishing.gate_json import gate_json
from crewplan.publishing.plan_json import reason_json
from crewplan.publishing.site_cautions import ADVICE_ONLY, site_cautions

_MM_DIGITS = 1
_HOUR_DIGITS = 4


def _rounded(value: Any) -> Any:
    """Lengths to a tenth of a mm, at any depth."""
    if isinstance(value, float):
        return round(value, _MM_DIGITS)
    if isinstance(value, dict):
        return {key: _rounded(inner) for key, inner in value.items()}
    return [_rounded(inner) for inner in value] if isinstance(value, (list, tuple)) else value


def _cut(cut: StockCut) -> dict[str, Any]:
    return dict(_rounded(asdict(cut) | {"left_mm": max(0.0, cut.left_mm)}))


def _marks(marks: PlaneMarks) -> dict[str, Any]:
    return dict(_rounded(asdict(marks)))


def sheet_json(facts: SheetFacts) -> dict[str, Any]:
    """One object; `crew`, `lead` and `start_on` are null and `cells` empty without a placement."""
    planned, placement = facts.planned, facts.planned and facts.planned.placement
    cells = placement.cells if placement else ()
    horizon = facts.horizon
    return {
        "stage": facts.stage.stage,
        "job": facts.job.job,
        "kind": facts.stage.kind,
        "state": facts.state,
        "placed": planned is not None,
        "banner": list(banner(facts)),
        "reasons": [reason_json(row) for row in facts.unplaced.reasons] if facts.unplaced else [],
        "start_on": horizon.day_of(placement.start).isoformat() if placement else None,
        "start_half": horizon.half_of(placement.start) if placement else None,
        "cells": [[horizon.day_of(cell).isoformat(), horizon.half_of(cell)] for cell in cells],
        "part_starts": [
            [horizon.day_of(cell).isoformat(), horizon.half_of(cell)]
            for cell in (placement.part_starts if placement else ())
        ],
        "crew": placement.crew if placement else None,
        "lead": placement.lead if placement else None,
        "people": [
            {"person": person.person, "role": person.role, "phone": person.phone}
            for person in facts.people
        ],
        "waits_for": list(planned.waits_for) if planned else [],
        "customer": facts.job.customer,
        "address": facts.job.address,
        "latitude": facts.job.latitude,
        "longitude": facts.job.longitude,
        "hours": [
            {
                "step": step.step,
                "exposure": step.exposure,
                "p50_h": round(step.p50_h, _HOUR_DIGITS),
                "min_people": step.min_people,
                "after": list(step.after),
            }
            for step in facts.hours.steps
        ],
        "labour_p50_h": round(facts.hours.p50_h, _HOUR_DIGITS),
        "labour_p80_h": round(facts.hours.p80_h, _HOUR_DIGITS),
        "load": [
            {"item": line.item, "counted": line.counted, "spare": line.spare}
            for line in load_lines(facts)
        ],
        "cuts": [_cut(row) for row in facts.takeoff.cuts],
        "least_stock": facts.takeoff.least_stock,
        "shims": [
            {"plane": plane.plane} | dict(_rounded(asdict(plane.shims)))
            for plane in facts.takeoff.planes
            if plane.shims is not None
        ],
        "uplift": [
            {"plane": plane.plane} | dict(_rounded(asdict(plane.uplift)))
            for plane in facts.takeoff.planes
            if plane.uplift is not None
        ],
        "tools": list(tool_lines(facts)),
        "missed": [
            {"part": one.part, "cases": one.cases, "last_on": one.last_on.isoformat()}
            for one in facts.missed
        ],
        "gate": gate_json(facts.verdicts),
        "wind": wind_line(facts),
        "marks": [_marks(plane) for plane in facts.marks],
        "special": list(special(facts)),
        "closing": [{"check": check, "asked_for": asked} for check, asked in closing_checks(facts)],
        "cautions": [asdict(caution) for caution in site_cautions(facts.stage.kind)],
        "advice": ADVICE_ONLY,
        "asked_at": facts.asked_at.isoformat(),
        "clock": facts.clock,
    }
