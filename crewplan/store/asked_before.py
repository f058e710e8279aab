"""Answers of authorities and utilities that people write down, kept as past requests too.

`lead_times` is what chances are learned from. What is written down of a requirement says the same
of one request: when it was asked for, and when it was answered.
"""

from collections.abc import Mapping
from datetime import date, datetime

from sqlalchemy import Connection, select

from crewplan.store.cells import columns_of
from crewplan.store.entering import edit_row, enter_rows
from crewplan.store.rows import StoredRow, at_version, end_rows, json_text, stored
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.versions import add_version, version_at

_TABLE = "lead_times"
_ASKED = ("asked", "granted", "refused")


def keep_request(
    connection: Connection,
    former: Mapping[str, str],
    now: Mapping[str, str],
    whom: str,
    today: date,
    by: str,
    at: datetime,
) -> None:
    """Write down a request, or its answer; the caller holds the writer's turn.

    What was never asked for after all is taken back, unless an import brought it.

    Args:
        connection: of the database.
        former: cells of the requirement as it was, by column; empty: there was none.
        now: as it is now.
        whom: who was asked, as `lead_times` names them.
        today: when a refusal counts as given, which no column of a requirement says.
        by: who enters it.
        at: when.
    """
    was, fresh = _request(former), _request(now)
    if now["state"] == "refused":
        fresh["refused_on"] = str(today)
    rows = _rows(connection, {"kind": now["kind"], "authority": whom})
    there = next((row for row, cells in rows if _same(cells, was)), None)
    if now["state"] == "open" and there is not None and there.entered:
        here = version_at(connection, None)
        end_rows(connection, [there.id], add_version(connection, "entry", by, at, here.present))
    elif now["state"] not in _ASKED or not fresh["asked_on"]:
        return
    elif now["state"] == former.get("state") == "refused" and there is not None:
        return  # the day of the first word stays
    elif there is not None:
        version = version_at(connection, None).number
        edit_row(connection, _TABLE, there.id, fresh, by, at, expected_version=version)
    elif not any(_same(cells, fresh) for _, cells in rows):
        cells = {**fresh, "kind": now["kind"], "authority": whom}
        enter_rows(connection, _TABLE, [cells], by, at)


def _request(requirement: Mapping[str, str]) -> dict[str, str]:
    """When it was asked for and answered, as cells of `lead_times`; a refusal has no day."""
    granted = requirement.get("state") == "granted"
    return {
        "asked_on": requirement.get("asked_on", ""),
        "granted_on": requirement.get("granted_on", "") if granted else "",
        "refused_on": "refused" if requirement.get("state") == "refused" else "",
    }


def _same(cells: Mapping[str, str], request: Mapping[str, str]) -> bool:
    days = ("asked_on", "granted_on")
    refused = bool(cells["refused_on"]) == bool(request["refused_on"])
    return refused and bool(cells["asked_on"]) and all(cells[d] == request[d] for d in days)


def _rows(
    connection: Connection, like: Mapping[str, str]
) -> list[tuple[StoredRow, dict[str, str]]]:
    """Requests of a kind, made of somebody, with their cells by column."""
    wanted = select(TABLE_ROWS).where(
        TABLE_ROWS.c.table_name == _TABLE,
        at_version(TABLE_ROWS, None),
        *(TABLE_ROWS.c.cells.contains(json_text(word), autoescape=True) for word in like.values()),
    )
    found = []
    for row in map(stored, connection.execute(wanted.order_by(TABLE_ROWS.c.id))):
        cells = dict(zip(columns_of(_TABLE), row.cells, strict=True))
        if all(cells[name] == word for name, word in like.items()):
            found.append((row, cells))
    return found
