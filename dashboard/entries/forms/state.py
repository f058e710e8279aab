"""Where a requirement stands: asked for, granted, refused, and on which day."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from sqlalchemy import Connection

from crewplan.readiness.chances import asked_of
from crewplan.store.asked_before import keep_request
from crewplan.store.cells import columns_of
from crewplan.store.entering import fault_of, put_row, row_of_key
from dashboard.entries.answering import fields, version_read
from dashboard.entries.asked import Asked, BadValues, NotHere, Values
from dashboard.entries.form import Form

STATES = (
    ("open", "open: not asked for yet"),
    ("asked", "asked for"),
    ("granted", "granted"),
    ("refused", "refused"),
    ("not_needed", "not needed"),
)
_TABLE = "requirements"
_COLUMNS = ("state", "asked_on", "granted_on", "expected_on")


def _key(asked: Asked) -> tuple[str, str]:
    kind = asked.args.get("kind", "").strip()
    if not kind or fault_of(_TABLE, "kind", kind):
        raise NotHere("the address names no requirement")
    return asked.job().job, kind


def _stands(asked: Asked, connection: Connection) -> dict[str, str]:
    row = row_of_key(connection, _TABLE, _key(asked))
    return dict(zip(columns_of(_TABLE), row.cells, strict=True)) if row is not None else {}


def _facts(asked: Asked, connection: Connection) -> Mapping[str, Any]:
    asked.hold_rights("enter states", frozenset(row.crew for row in asked.view.branch.crews))
    job, kind = asked.job(), _key(asked)[1]
    return {
        "title": f"{kind.replace('_', ' ').capitalize()} of {job.customer or job.job} ({job.job})",
        "back": "/enter/states",
        "states": STATES,
        "known": bool(_stands(asked, connection)),
    }


def _blank(asked: Asked, connection: Connection) -> Values:
    stands = _stands(asked, connection)
    return fields({name: stands.get(name, "") for name in _COLUMNS} | _default(stands))


def _default(stands: dict[str, str]) -> dict[str, str]:
    return {} if stands else {"state": "open"}


def _checked(sent: Values) -> dict[str, str]:
    """The cells of the row.

    Raises:
        BadValues: with a sentence for each field.
    """
    values = {name: sent.get(name, "").strip() for name in _COLUMNS}
    faults = {name: bad for name, text in values.items() if (bad := fault_of(_TABLE, name, text))}
    if not faults:
        faults = _sense(values)
    if faults:
        raise BadValues(faults)
    return values


def _sense(values: Mapping[str, str]) -> dict[str, str]:
    state, asked_on, granted_on = values["state"], values["asked_on"], values["granted_on"]
    if state == "asked" and not asked_on:
        return {"asked_on": "Say on which day it was asked for."}
    if state == "granted" and not granted_on:
        return {"granted_on": "Say on which day it was granted."}
    if granted_on and state != "granted":
        return {"granted_on": f"It has a day granted, and is {state}: one of the two is wrong."}
    if asked_on and granted_on and date.fromisoformat(granted_on) < date.fromisoformat(asked_on):
        return {"granted_on": "It was granted before it was asked for: one of the days is wrong."}
    return {}


def _keep(asked: Asked, connection: Connection, sent: Values) -> str:
    key, values, former = _key(asked), _checked(sent), _stands(asked, connection)
    by, at = asked.actor.name, asked.now
    put_row(connection, _TABLE, key, values, by, at, expected_version=version_read(sent))
    whom = asked_of(key[1], asked.job())
    keep_request(connection, former, {**values, "kind": key[1]}, whom, asked.today, by, at)
    return f"Kept: {dict(STATES)[sent['state']].partition(':')[0]}."


FORM = Form("/enter/state", "enter states", "state.html", _facts, _blank, _keep)
