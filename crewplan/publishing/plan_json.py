"""A plan as the JSON of `crewplan plan --format json`."""

from typing import Any

from crewplan.model.horizon import Horizon
from crewplan.model.parts import PlannedPart, planned_parts
from crewplan.model.placement import Reason
from crewplan.model.plan import Plan, Unplaced
from crewplan.model.standby import Standby

_SHARE_DIGITS = 6
_HOUR_DIGITS = 4


def _money(cents: int) -> float:
    return cents / 100


def reason_json(reason: Reason) -> dict[str, Any]:
    """One reason, with ISO days or null."""
    return {
        "kind": reason.kind,
        "detail": reason.detail,
        "from": reason.from_on and reason.from_on.isoformat(),
        "until": reason.until_on and reason.until_on.isoformat(),
    }


def _placement(horizon: Horizon, part: PlannedPart) -> dict[str, Any]:
    planned, placement = part.planned, part.planned.placement
    return {
        "stage": placement.stage,
        "part": part.number,
        "parts": part.of,
        "job": planned.job,
        "crew": placement.crew,
        "people": list(placement.people),
        "lead": placement.lead,
        "lent": list(placement.joined),
        "lent_away": list(placement.lent_away),
        "start_on": horizon.day_of(placement.start).isoformat(),
        "start_half": horizon.half_of(placement.start),
        "half_days": len(placement.cells),
        "cells": [
            [horizon.day_of(cell).isoformat(), horizon.half_of(cell)] for cell in placement.cells
        ],
        "firm": planned.firm,
        "waits_for": list(planned.waits_for),
        "calls": list(planned.calls),
        "left_its_place": [reason_json(reason) for reason in planned.left_its_place],
        "labour_p50_h": round(placement.labour_p50_h, _HOUR_DIGITS),
        "labour_p80_h": round(placement.labour_p80_h, _HOUR_DIGITS),
        "lost_h": round(placement.lost_h, _HOUR_DIGITS),
        "p_go": round(placement.p_go, _SHARE_DIGITS),
        "p_ready": round(placement.p_ready, _SHARE_DIGITS),
        "p_finish": round(placement.p_finish, _SHARE_DIGITS),
        "p_fail": round(placement.p_fail, _SHARE_DIGITS),
        "overtime_h": round(placement.overtime_h, _HOUR_DIGITS),
        "drive_shared_with": placement.with_visit or None,
        "kit": None if placement.kit is None else dict(placement.kit),
        "cost": _money(placement.cents),
        "cost_parts": [
            {"name": name, "cost": _money(cents)} for name, cents in placement.cost.items()
        ],
    }


def _unplaced(unplaced: Unplaced) -> dict[str, Any]:
    return {
        "stage": unplaced.stage,
        "job": unplaced.job,
        "cost": _money(unplaced.cents),
        "reasons": [reason_json(reason) for reason in unplaced.reasons],
    }


def _standby(horizon: Horizon, one: Standby) -> dict[str, Any]:
    other = one.placement
    return {
        "day": one.day.isoformat(),
        "crew": one.crew,
        "stage": one.stage,
        "p_no_go": round(one.p_no_go, _SHARE_DIGITS),
        "instead": one.instead,
        "other_stage": other and other.stage,
        "job": one.job,
        "start_half": other and horizon.half_of(other.start),
        "half_days": other and len(other.cells),
        "p_go": other and round(other.p_go, _SHARE_DIGITS),
        "steps": list(one.steps),
        "hours": round(one.hours, _HOUR_DIGITS),
        "costs_more": _money(one.cents),
    }


def plan_json(plan: Plan, clock: str) -> dict[str, Any]:
    """The plan; money in the branch's currency, chances 0 to 1, hours in person-hours."""
    return {
        "from": plan.horizon.days[0].isoformat(),
        "to": plan.horizon.days[-1].isoformat(),
        "objective": _money(plan.objective),
        "bound": _money(plan.bound),
        "gap": plan.gap,
        "engine": plan.engine,
        "rule_of_thumb": None if plan.rule_of_thumb is None else _money(plan.rule_of_thumb),
        "parts": [{"name": name, "cost": _money(cents)} for name, cents in plan.parts.items()],
        "clock": clock,
        "notes": list(plan.notes),
        "placements": [_placement(plan.horizon, part) for part in planned_parts(plan.planned)],
        "unplaced": [_unplaced(unplaced) for unplaced in plan.unplaced],
        "done": list(plan.done),
        "clashing_pins": plan.pin_clash
        and {"stages": list(plan.pin_clash.stages), "told": plan.pin_clash.told},
        "standby": [_standby(plan.horizon, one) for one in plan.standby],
    }
