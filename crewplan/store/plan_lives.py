"""All rows that the published plan ever had, with the versions between which they stood."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, func, select

from crewplan.model.plan_life import PlanLife
from crewplan.model.plan_row import PlanRow
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
    wanted = select(*columns).where(TABLE_ROWS.c.table_name == "plan")
    spans: dict[PlanRow, list[tuple[int, int | None]]] = {}
    for row in connection.execute(wanted.order_by(TABLE_ROWS.c.first_version, TABLE_ROWS.c.id)):
        # a pin changes no day
        of = replace(row_of("plan", cells_read("plan", row.cells)), pinned=False)
        until = None if row.last_version is None else row.last_version + 1
        mine = spans.setdefault(of, [])
        if mine and mine[-1][1] == row.first_version:  # the next plan has it again
            mine[-1] = (mine[-1][0], until)
        else:
            mine.append((row.first_version, until))
    return tuple(
        _life(of, since if until is not None else max(since, imported or 0), until, times)
        for of, found in spans.items()
        for since, until in found
    )


def _life(row: PlanRow, since: int, until: int | None, times: Mapping[int, datetime]) -> PlanLife:
    return PlanLife(row, since, times[since], until, None if until is None else times[until])


def plan_lives_of(source: str | Path) -> tuple[PlanLife, ...] | None:
    """Of a folder with a database, or of an address; None: it has no database."""
    from crewplan.store.connecting import open_store
    from crewplan.store.place import has_database, place_of

    if not has_database(source):
        return None
    with open_store(place_of(source)).read() as connection:
        return plan_lives(connection)
