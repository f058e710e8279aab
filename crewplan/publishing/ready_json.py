"""What stages wait for, and today's calls, as JSON and as CSV cells."""

from datetime import date
from typing import Any

from crewplan.publishing.call_words import gist, say, whom
from crewplan.readiness.ask_by import AskBy
from crewplan.readiness.calls import Call
from crewplan.readiness.dates import Dates
from crewplan.readiness.ready_view import ReadyView, StageReady

READY_COLUMNS = (
    "stage", "day", "p_ready", "ready", "holds", "state", "job", "wanted_on", "missing", "half_on",
    "likely_on", "ask_by",
)  # fmt: skip
CALL_COLUMNS = (
    "whom", "kind", "item", "job", "stages", "state", "wanted_on", "p_ready", "cost_a_day", "why",
    "say", "ask_by",
)  # fmt: skip
DONE = "done"
_DIGITS = 6


def _asked(told: AskBy) -> dict[str, Any]:
    return {"by": told.by and told.by.isoformat(), "note": told.note}


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _dates(told: Dates) -> dict[str, str | None]:
    """Days of 50 % and 80 %; where the record does not reach them, guesses past it."""
    return {
        "half_on": _day(told.half_on),
        "likely_on": _day(told.likely_on),
        "half_past_record": _day(told.half_past_record),
        "likely_past_record": _day(told.likely_past_record),
    }


def substitutes(view: ReadyView, item: str) -> tuple[str, ...]:
    """Items that may stand in for one."""
    return next((row.substitutes for row in view.branch.items if row.item == item), ())


def _first_inspection(view: ReadyView, stage: StageReady) -> dict[str, Any] | None:
    """Of an inspection: the chance that it fails by the record; None of all else."""
    if stage.row.kind != "inspection" or stage.done:
        return None
    told = view.first_visits[stage.job.job]
    return {"p_fail": round(told.p_fail, _DIGITS), "return_h": told.return_h, "note": told.note}


def _missing(view: ReadyView, stage: StageReady, at: int) -> list[dict[str, Any]]:
    """Items that are not there on a day; on a frozen day, items that are not in stock."""
    found = []
    for item in stage.missing:
        frozen = view.days[at] in view.horizon.frozen
        lack = float((item.in_stock if frozen else item.by_day)[at])
        if lack <= 0:
            continue
        covered = item.covered_on(view.days)
        row: dict[str, Any] = {
            "item": item.item,
            "needed": item.needed,
            "missing": lack,
            "covered_on": covered and covered.isoformat(),
            "substitutes": list(substitutes(view, item.item)),
            "on_order": [
                {
                    "quantity": due.row.quantity,
                    "supplier": due.row.supplier,
                    "expected_on": due.row.expected_on.isoformat(),
                    "half_on": _day(due.half_on),
                    "likely_on": _day(due.counts_from),
                }
                for due in view.deliveries
                if due.row.item == item.item
            ],
        }
        if item.item in stage.order_by:
            supplier, by = stage.order_by[item.item]
            row |= {"supplier": supplier, "order_by": _asked(by)}
        found.append(row)
    return found


def _stage_rows(view: ReadyView, stage: StageReady) -> list[dict[str, Any]]:
    outlook = stage.outlook
    rows = []
    for day in view.horizon.days:
        at = view.days.index(day)
        rows.append(
            {
                "stage": stage.row.stage,
                "day": day.isoformat(),
                "p_ready": 1.0 if stage.done else round(float(outlook.p[at]), _DIGITS),
                "ready": stage.done or bool(outlook.ready[at]),
                "holds": "" if stage.done else outlook.holds[at],
                "state": DONE if stage.done else outlook.state[at],
                "job": stage.job.job,
                "wanted_on": stage.wanted_on.isoformat(),
                "missing": [] if stage.done else _missing(view, stage, at),
                "half_on": None if stage.done else _day(outlook.dates.half_on),
                "likely_on": None if stage.done else _day(outlook.dates.likely_on),
                "ask_by": {}
                if stage.done
                else {kind: _asked(told) for kind, told in stage.ask_by.items()},
                "half_past_record": None if stage.done else _day(outlook.dates.half_past_record),
                "likely_past_record": None
                if stage.done
                else _day(outlook.dates.likely_past_record),
                "if_asked_today": {}
                if stage.done
                else {kind: _dates(told) for kind, told in stage.if_asked_today.items()},
                "first_inspection": _first_inspection(view, stage),
                "clock": view.clock,
            }
        )
    return rows


def ready_json(view: ReadyView) -> list[dict[str, Any]]:
    """One object a stage and day of the horizon; material in stocked units, chances 0 to 1."""
    return [row for stage in view.stages for row in _stage_rows(view, stage)]


def _call(view: ReadyView, call: Call) -> dict[str, Any]:
    return {
        "whom": whom(view, call),
        "kind": call.kind,
        "item": call.item,
        "job": call.job,
        "stages": list(call.stages),
        "state": call.state,
        "missing": call.missing,
        "to_order": call.to_order,
        "covered_on": call.covered_on and call.covered_on.isoformat(),
        "wanted_on": call.wanted_on.isoformat(),
        "p_ready": round(call.p, _DIGITS),
        "cost_a_day": round(call.cost_a_day, 2),
        "why": gist(view, call),
        "say": say(view, call),
        "ask_by": _asked(call.ask_by) if call.ask_by else None,
        "clock": view.clock,
    }


def calls_json(view: ReadyView) -> list[dict[str, Any]]:
    """Today's calls, the dearest first; money in the branch's currency a calendar day."""
    return [_call(view, call) for call in view.calls]


def _told(told: dict[str, Any] | None) -> str:
    return "" if told is None else told["by"] or told["note"]


def ready_cells(view: ReadyView) -> list[tuple[str, ...]]:
    """`ready_json` in the order of `READY_COLUMNS`; lists with `;` between."""
    return [
        (
            row["stage"],
            row["day"],
            f"{row['p_ready']:g}",
            "yes" if row["ready"] else "no",
            row["holds"],
            row["state"],
            row["job"],
            row["wanted_on"],
            ";".join(f"{lack['item']} {lack['missing']:g}" for lack in row["missing"]),
            row["half_on"] or "",
            row["likely_on"] or "",
            ";".join(f"{kind} {_told(told)}" for kind, told in row["ask_by"].items()),
        )
        for row in ready_json(view)
    ]


def call_cells(view: ReadyView) -> list[tuple[str, ...]]:
    """`calls_json` in the order of `CALL_COLUMNS`."""
    return [
        (
            row["whom"], row["kind"], row["item"], row["job"], ";".join(row["stages"]),
            row["state"], row["wanted_on"], f"{row['p_ready']:g}", f"{row['cost_a_day']:.2f}",
            row["why"], row["say"], _told(row["ask_by"]),
        )
        for row in calls_json(view)
    ]  # fmt: skip
