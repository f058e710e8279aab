"""A published placement is pinned, so that no plan moves it, or no longer."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection

from crewplan.model.plan_row import PlanRow
from crewplan.publishing.day_words import long_day_words
from crewplan.store.cells import row_of
from crewplan.store.entering import edit_row, row_of_key
from dashboard.entries.answering import fields, version_read
from dashboard.entries.asked import Asked, BadValues, NotHere, Values
from dashboard.entries.form import Form
from dashboard.entries.places import stage_title

_TABLE = "plan"


def _key(asked: Asked) -> tuple[str, str]:
    return asked.stage().stage, asked.args.get("part", "1")


def _row(asked: Asked, connection: Connection) -> PlanRow:
    found = row_of_key(connection, _TABLE, _key(asked))
    if found is None:
        raise NotHere(f"stage {asked.stage().stage} is not in the published plan")
    row: PlanRow = row_of(_TABLE, found.cells)
    return row


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    row = _row(asked, connection)
    asked.hold_rights("pin", frozenset({row.crew}))
    length = f"{row.half_days} half-day{'s' if row.half_days > 1 else ''}"
    return {
        "title": f"Pin: {stage_title(asked.view, asked.stage())}",
        "back": "/enter/pins",
        "where": f"{row.crew}, {long_day_words(row.start_on)} {row.start_half}, {length}",
        "pinned": row.pinned,
    }


def _blank(asked: Asked, connection: Connection) -> Values:
    return fields({"pinned": "yes" if _row(asked, connection).pinned else "no"})


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    wanted = sent.get("pinned", "")
    if wanted not in ("yes", "no"):
        raise BadValues({"pinned": "Choose whether it is pinned."})
    edit_row(
        connection,
        _TABLE,
        _key(asked),
        {"pinned": wanted},
        asked.actor.name,
        asked.now,
        expected_version=version_read(sent),
    )
    return "Pinned: the next plan keeps its crew and start." if wanted == "yes" else "Not pinned."


FORM = Form("/enter/pin", "pin", "pin.html", _facts, _blank, _keep)
