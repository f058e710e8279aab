"""Hours that were entered wrongly: what stands is corrected, what stood stays in the history."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from sqlalchemy import Connection

from crewplan.model.work_rows import HoursWorked
from crewplan.publishing.day_words import long_day_words
from crewplan.store.cells import row_of
from crewplan.store.entering import edit_row, fault_of, row_of_key
from crewplan.store.recent import hours_of_day
from crewplan.store.records import add_records
from dashboard.entries.answering import fields, version_read
from dashboard.entries.asked import Asked, BadValues, NotHere, Values, crews_of
from dashboard.entries.form import Form
from dashboard.entries.forms.hours import CAUSES, about_words, answers_about, held_against
from dashboard.entries.places import stage_title

_TABLE = "hours_worked"
_COLUMNS = ("hours", "cause", "about", "note")


def _number(asked: Asked) -> int:
    text = asked.args.get("row", "")
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NotHere("the address names no entry of hours")
    return int(text)


def _row(asked: Asked, connection: Connection) -> HoursWorked:
    found = row_of_key(connection, _TABLE, _number(asked))
    row = row_of(_TABLE, found.cells) if found is not None else None
    if row is None or row.stage != asked.stage().stage:
        raise NotHere("there is no such entry of hours on this stage")
    hours: HoursWorked = row
    return hours


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    row, stage = _row(asked, connection), asked.stage()
    asked.hold_rights("enter hours", crews_of(asked.view, stage.stage))
    return {
        "title": f"Correct hours: {stage_title(asked.view, stage)}",
        "back": f"/enter/hours?{urlencode({'stage': stage.stage, 'day': str(row.day)})}",
        "about": f"{row.person} on {long_day_words(row.day)}.",
        "causes": CAUSES,
        "about_words": about_words(asked),
    }


def _blank(asked: Asked, connection: Connection) -> Values:
    row = _row(asked, connection)
    shown = {"hours": f"{row.hours:g}", "cause": row.cause, "about": row.about, "note": row.note}
    return fields(shown)


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    values = {name: sent.get(name, "").strip() for name in _COLUMNS}
    checks = {name: fault_of(_TABLE, name, text) for name, text in values.items()}
    if faults := {name: bad for name, bad in checks.items() if bad}:
        raise BadValues(faults)
    was = _row(asked, connection)
    fresh = replace(was, **{**values, "hours": float(values["hours"])})
    others = list(hours_of_day(connection, was.day, {was.person}))
    others.remove(was)
    answers = answers_about([fresh], held_against(asked, connection, others), sent)
    by, at, seen = asked.actor.name, asked.now, version_read(sent)
    edit_row(connection, _TABLE, _number(asked), values, by, at, expected_version=seen)
    add_records(connection, answers, by, at)
    return "Kept; the history has both."


FORM = Form("/enter/correction", "enter hours", "correction.html", _facts, _blank, _keep)
