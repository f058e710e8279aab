"""Months of the ledger that were closed: figures as they were, and what was entered since.

A closing is a record: it adds, and nobody can change it or take it away.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from functools import cache

from pydantic import TypeAdapter
from sqlalchemy import Connection, and_, or_, select

from crewplan.model.closed import Closing, Correction, days_of, month_of
from crewplan.model.ledger import By, HoursRecord
from crewplan.store.faults import NotDone
from crewplan.store.records import NewRecord, Record, add_records, found_records
from crewplan.store.rows import StoredRow, stored
from crewplan.store.schema import RECORDS, TABLE_ROWS, VERSIONS
from crewplan.store.versions import version_at

_TABLES = ("hours_worked", "progress")
"""What a month's figures are made of."""


@cache
def _as_json() -> TypeAdapter[HoursRecord]:
    """Decimals and days go through JSON unchanged."""
    return TypeAdapter(HoursRecord)


def close_month(
    connection: Connection,
    month: str,
    records: Iterable[HoursRecord],
    by: str,
    at: datetime,
    version: int,
) -> None:
    """Keep a month's figures; the caller holds the writer's turn.

    Args:
        connection: of the database.
        month: 2026-04.
        records: its figures in every grouping.
        by: who closes it.
        at: when.
        version: of the tables that the figures are from.

    Raises:
        NotDone: it is closed, or something was entered since that version.
    """
    former = _closing(connection, month)
    if former is not None:
        raise NotDone(
            f"{month} was closed by {former.by} on {former.at[:10]} already; a closed month stays"
        )
    newest = version_at(connection, None)
    if newest.number != version:
        raise NotDone(
            f"{newest.made_by} changed the tables meanwhile (version {newest.number}); nothing was"
            " closed: close it again"
        )
    told = {one.by: _as_json().dump_python(one, mode="json") for one in records}
    new = NewRecord("month", {"month": month, "figures": told}, str(days_of(month).first))
    add_records(connection, [new], by, at)


def _closing(connection: Connection, month: str) -> Record | None:
    wanted = select(RECORDS).where(
        RECORDS.c.kind == "month", RECORDS.c.day == str(days_of(month).first)
    )
    found = found_records(connection, wanted)
    return found[0] if found else None


def closed_figures(
    connection: Connection, month: str, by: By
) -> tuple[HoursRecord, Closing] | None:
    """A closed month as it was, and what was entered for it since; None: it is open."""
    record = _closing(connection, month)
    if record is None:
        return None
    figures = _as_json().validate_python(record.contents["figures"][by], strict=False)
    since = tuple(_corrections(connection, month, record.version))
    return figures, Closing(month, record.by, record.at, record.version, since)


def closed_on(connection: Connection) -> Mapping[str, date]:
    """Closed months, each with the day on which it was closed (UTC)."""
    # not their contents, which grow with the months and the jobs
    wanted = select(RECORDS.c.day, RECORDS.c.made_at).where(RECORDS.c.kind == "month")
    return {
        month_of(date.fromisoformat(row.day)): datetime.fromisoformat(row.made_at).date()
        for row in connection.execute(wanted.order_by(RECORDS.c.day))
    }


def _corrections(connection: Connection, month: str, version: int) -> Iterator[Correction]:
    """Rows of the month's days that came, changed or went after a version, in order."""
    wanted = select(TABLE_ROWS).where(
        TABLE_ROWS.c.table_name.in_(_TABLES),
        TABLE_ROWS.c.day.between(f"{month}-01", f"{month}-31"),
        or_(
            TABLE_ROWS.c.first_version > version,
            and_(TABLE_ROWS.c.last_version.is_not(None), TABLE_ROWS.c.last_version >= version),
        ),
    )
    rows = [stored(row) for row in connection.execute(wanted.order_by(TABLE_ROWS.c.id))]
    by_id = {row.id: row for row in rows}
    followed = {row.replaces for row in rows}
    found: list[tuple[int, StoredRow | None, StoredRow | None]] = []
    for row in rows:
        # a row that an import only gave another place has the cells of its forerunner
        if row.first_version > version and row.changed_in > version:
            before = None if row.replaces is None else by_id.get(row.replaces)
            found.append((row.first_version, before, row))
        if row.last_version is not None and row.id not in followed:
            found.append((row.last_version + 1, row, None))
    numbers = {number for number, _, _ in found}
    wanted = select(VERSIONS).where(VERSIONS.c.number.in_(numbers))
    made = {version.number: version for version in connection.execute(wanted)}
    for number, before, after in sorted(found, key=lambda one: one[0]):
        [table] = {one.table for one in (before, after) if one is not None}
        who = made[number]
        yield Correction(number, who.made_by, who.made_at, table, _words(before), _words(after))


def _words(row: StoredRow | None) -> str:
    return "" if row is None else ", ".join(filter(None, row.cells))
