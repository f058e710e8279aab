"""Versions: who changed the branch, when, by what."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Literal

from sqlalchemy import Connection, desc, func, insert, select

from crewplan.store.faults import NotDone
from crewplan.store.rows import json_text
from crewplan.store.schema import PLANS, VERSIONS

Kind = Literal["import", "entry", "plan"]


@dataclass(frozen=True, slots=True)
class Version:
    """One change of the branch."""

    number: int
    kind: Kind
    made_at: str
    """UTC, ISO 8601."""
    made_by: str
    digest: str
    present: frozenset[str]
    details: Mapping[str, Any]


def _version(row: Any) -> Version:
    present = frozenset(json.loads(row.present))
    details = json.loads(row.details)
    return Version(row.number, row.kind, row.made_at, row.made_by, row.digest, present, details)


def newest(connection: Connection, kind: Kind | None = None) -> Version | None:
    """The last change, or the last of a kind."""
    wanted = select(VERSIONS).order_by(desc(VERSIONS.c.number)).limit(1)
    if kind is not None:
        wanted = wanted.where(VERSIONS.c.kind == kind)
    row = connection.execute(wanted).first()
    return None if row is None else _version(row)


def version_at(connection: Connection, number: int | None) -> Version:
    """A version by its number; None: the newest.

    Raises:
        NotDone: where there is none.
    """
    if number is None:
        found = newest(connection)
    else:
        row = connection.execute(select(VERSIONS).where(VERSIONS.c.number == number)).first()
        found = None if row is None else _version(row)
    if found is None:
        last = connection.execute(select(func.max(VERSIONS.c.number))).scalar()
        raise NotDone(
            f"there is no version {number}; the newest is {last}"
            if last is not None
            else "nothing has been imported yet; crewplan import brings tables in"
        )
    return found


def last_import_by(connection: Connection, version: int) -> Version | None:
    """The import that a version rests on."""
    wanted = (
        select(VERSIONS)
        .where(VERSIONS.c.kind == "import", VERSIONS.c.number <= version)
        .order_by(desc(VERSIONS.c.number))
        .limit(1)
    )
    row = connection.execute(wanted).first()
    return None if row is None else _version(row)


def instant_text(at: datetime) -> str:
    """UTC, always as long, so that texts sort as times do."""
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def add_version(
    connection: Connection,
    kind: Kind,
    by: str,
    at: datetime,
    present: frozenset[str],
    *,
    digest: str = "",
    details: Mapping[str, Any] | None = None,
) -> int:
    """A new change, numbered next; the caller holds the writer's turn."""
    last = connection.execute(select(func.max(VERSIONS.c.number))).scalar() or 0
    values = {
        "number": last + 1,
        "kind": kind,
        "made_at": instant_text(at),
        "made_by": by,
        "digest": digest,
        "present": json_text(sorted(present)),
        "details": json_text(details or {}),
    }
    connection.execute(insert(VERSIONS), values)
    return int(last) + 1


def add_plan(connection: Connection, version: int) -> int:
    """Number the plan of a version."""
    last = connection.execute(select(func.max(PLANS.c.number))).scalar() or 0
    connection.execute(insert(PLANS), {"number": last + 1, "version": version})
    return int(last) + 1


def plan_number(connection: Connection, version: int | None = None) -> int | None:
    """The newest published plan, or that of a version; None: none yet."""
    wanted = select(func.max(PLANS.c.number))
    if version is not None:
        wanted = wanted.where(PLANS.c.version <= version)
    return connection.execute(wanted).scalar()
