"""Records beside the tables: told, measured, ticked, expected, closed. They only add."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Literal

from sqlalchemy import Connection, Select, and_, insert, or_, select

from crewplan.store.faults import NotDone
from crewplan.store.rows import json_text
from crewplan.store.schema import RECORDS
from crewplan.store.versions import instant_text, version_at

RecordKind = Literal["verdict", "reading", "tick", "flag", "answer", "expected", "month"]


@dataclass(frozen=True, slots=True)
class NewRecord:
    """One thing to be kept."""

    kind: RecordKind
    contents: Mapping[str, Any]
    """Whatever JSON holds."""
    day: str = ""
    """Local, ISO 8601; empty: of no day."""
    stage: str = ""
    job: str = ""
    crew: str = ""
    replaces: int | None = None
    """The record that was wrong."""


@dataclass(frozen=True, slots=True)
class Record:
    """One thing that was kept."""

    id: int
    kind: RecordKind
    at: str
    """UTC, ISO 8601."""
    by: str
    version: int
    """The newest of the branch when it was made."""
    day: str
    stage: str
    job: str
    crew: str
    contents: Mapping[str, Any] = field(hash=False)
    replaces: int | None = None


def add_records(connection: Connection, new: Sequence[NewRecord], by: str, at: datetime) -> None:
    """Keep records; the caller holds the writer's turn.

    Raises:
        NotDone: there is no branch yet that they could be about, or what one replaces is not there.
    """
    if not new:
        return
    version = version_at(connection, None).number
    for record in new:
        _hold_replaced(connection, record)
    values = [
        {
            "kind": record.kind,
            "made_at": instant_text(at),
            "made_by": by,
            "version": version,
            "day": record.day,
            "stage": record.stage,
            "job": record.job,
            "crew": record.crew,
            "contents": json_text(dict(record.contents)),
            "replaces": record.replaces,
        }
        for record in new
    ]
    connection.execute(insert(RECORDS), values)


def _hold_replaced(connection: Connection, record: NewRecord) -> None:
    if record.replaces is None:
        return
    same = and_(RECORDS.c.id == record.replaces, RECORDS.c.kind == record.kind)
    if connection.execute(select(RECORDS.c.id).where(same)).first() is None:
        raise NotDone(f"there is no {record.kind} {record.replaces} that could be corrected")
    again = select(RECORDS.c.made_by).where(RECORDS.c.replaces == record.replaces)
    if (by := connection.execute(again).scalar()) is not None:
        raise NotDone(f"{record.kind} {record.replaces} was corrected by {by} already; look again")


def _record(row: Any) -> Record:
    return Record(
        row.id,
        row.kind,
        row.made_at,
        row.made_by,
        row.version,
        row.day,
        row.stage,
        row.job,
        row.crew,
        json.loads(row.contents),
        row.replaces,
    )


def found_records(connection: Connection, wanted: Select[Any]) -> list[Record]:
    """Records of a query, oldest first."""
    return [_record(row) for row in connection.execute(wanted.order_by(RECORDS.c.id))]


def records_about(stage: str, jobs: Sequence[str]) -> Select[Any]:
    """All records of a stage, and those of its jobs that name no stage."""
    of_job = and_(RECORDS.c.job.in_(jobs), RECORDS.c.stage == "")
    return select(RECORDS).where(or_(RECORDS.c.stage == stage, of_job))
