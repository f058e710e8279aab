"""Hours, standings and margins as JSON. A figure that is undefined is null and says why."""

from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date
from typing import Any

from crewplan.model.closed import Closing
from crewplan.model.ledger import (
    Figure,
    HoursLine,
    HoursRecord,
    JobMargin,
    LostHours,
    Question,
    Standing,
    Undefined,
    Waterfall,
)
from crewplan.publishing.closing_text import closing_json


def _figures(figures: Mapping[str, Figure]) -> dict[str, Any]:
    told: dict[str, Any] = {
        name: None if isinstance(value, Undefined) else value for name, value in figures.items()
    }
    why = {name: value.why for name, value in figures.items() if isinstance(value, Undefined)}
    return told | {"undefined": why}


def _standing(standing: Standing) -> dict[str, Any]:
    told = {field.name: getattr(standing, field.name) for field in fields(standing)}
    cost = told.pop("cost")
    return {
        **_figures(told),
        "labour_cost": _figures({field.name: getattr(cost, field.name) for field in fields(cost)}),
    }


def _waterfall(fall: Waterfall) -> dict[str, float]:
    names = (*(field.name for field in fields(fall)), "margin")
    return {name: getattr(fall, name) / 100 for name in names}


def _margin(margin: JobMargin) -> dict[str, Any]:
    return {
        "planned": _waterfall(margin.planned),
        "now": _waterfall(margin.now),
        "at_completion": _waterfall(margin.at_completion),
        "at_completion_p10": margin.low / 100,
        "at_completion_p90": margin.high / 100,
        "crew_days": margin.crew_days,
        **_figures(
            {
                "share_done": margin.share_done,
                "per_watt": margin.per_watt,
                "per_crew_day": margin.per_crew_day,
            }
        ),
        "notes": list(margin.notes),
    }


def _lost(parts: Iterable[LostHours]) -> list[dict[str, Any]]:
    return [
        {"cause": part.cause, "hours": float(part.hours), "cost": float(part.cost)}
        for part in parts
    ]


def _line(line: HoursLine) -> dict[str, Any]:
    return {
        "worked_h": float(line.worked_h),
        "productive_h": float(line.productive_h),
        "lost_h": float(line.lost_h),
        "earned_h": float(line.earned_h),
        "cost": float(line.cost),
        "lost_cost": float(line.lost_cost),
        "cost_unknown_h": float(line.unpriced_h),
        "lost": _lost(line.lost),
        **_figures({"hours_index": line.hours_index}),
    }


def _question(question: Question) -> dict[str, Any]:
    limit = question.limit
    return {
        "kind": question.kind,
        "day": question.day.isoformat(),
        "person": question.person,
        "stage": question.stage,
        "hours": float(question.hours),
        "after": question.before,
        "against": limit.isoformat() if isinstance(limit, date) else limit,
    }


def hours_json(
    record: HoursRecord, currency: str, clock: str, closing: Closing | None = None
) -> dict[str, Any]:
    """The whole answer. Hours are person-hours; money is in `currency`; `standing` and `margin`
    count everything up to the end of `as_of` (of a week: of that week), the other figures the
    span's days only."""
    span = record.span
    return {
        "from": span.first.isoformat() if span.first else None,
        "to": span.last.isoformat() if span.last else None,
        "as_of": record.as_of.isoformat(),
        "by": record.by,
        "currency": currency,
        "clock": clock,
        "closed": closing_json(closing),
        "rows": [_row(record, line) for line in record.lines],
        "in_all": {**_line(record.in_all), "standing": _standing(record.standing_in_all)},
        **_losses(record),
        "asked": [_question(question) for question in record.questions],
    }


def _losses(record: HoursRecord) -> dict[str, Any]:
    if record.by != "job":
        return {}
    return {
        "jobs_by_lost": [
            {
                "job": one.job,
                "lost_h": float(one.hours),
                "lost_cost": float(one.cost),
                "driver": one.driver.cause,
                "lost": _lost(one.lost),
            }
            for one in record.losses
        ]
    }


def _row(record: HoursRecord, line: HoursLine) -> dict[str, Any]:
    row: dict[str, Any] = {record.by: line.name, **_line(line)}
    if record.standings:
        row["standing"] = _standing(record.standings[line.name])
    if record.margins:
        row["margin"] = _margin(record.margins[line.name])
    return row
