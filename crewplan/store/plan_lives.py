"""All rows that the published plan ever had, with the versions between which they stood."""

from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, func, select

from crewplan.model.plan_life import PlanLife
from crewplan.store.cells import row_of
from crewplan.store.rows import cells_read
from crewplan.store.schema import TABLE_ROWS, VERSIONS


def plan_lives(connection: Connection) -> tuple[PlanLife, ...]:
    """Of a database. What stands counts from the newest import on, if that came after it: people's
    days off, hours of the shift and customers' days come by imports alone, and move its days.
    """
    times = {
        row.number: datetime.fromisoformat(row.made_at).astimezone(UTC)
        for row in connection.execute(select(VERSIONS.c.number, VERSIONS.c.made_at))
    }
    imported = connection.execute(
        select(func.max(VERSIONS.c.number)).where(VERSIONS.c.kind == "import")
    ).scalar()
    columns = (TABLE_ROWS.c.cells, TABLE_ROWS.c.first_version, TABLE_ROWS.c.last_version)
    wanted = select(*columns).where(TABLE_ROWS.c.table_name == "plan").order_by(TABLE_ROWS.c.id)
    found = []
    for row in connection.execute(wanted):
        cells = cells_read("plan", row.cells)
        until = None if row.last_version is None else row.last_version + 1
        since = max(row.first_version, imported or 0) if until is None else row.first_version
        until_at = None if until is None else times[until]
        found.append(PlanLife(row_of("plan", cells), since, times[since], until, until_at))
    return tuple(found)


def plan_lives_of(source: str | Path) -> tuple[PlanLife, ...] | None:
    """Of a folder with a database, or of an address; None: it has no database."""
    from crewplan.store.connecting import open_store
    from crewplan.store.place import has_database, place_of

    if not has_database(source):
        return None
    with open_store(place_of(source)).read() as connection:
        return plan_lives(connection)
