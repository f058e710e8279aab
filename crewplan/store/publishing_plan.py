"""A published plan into the database: numbered, in one transaction, never changed after."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import Connection, select

from crewplan.model.expected import Expectation
from crewplan.model.plan_row import PlanRow
from crewplan.store.cells import cells_of, row_of
from crewplan.store.expectations import expectation_record
from crewplan.store.faults import NotDone
from crewplan.store.records import NewRecord, add_records
from crewplan.store.rows import NewRow, StoredRow, add_rows, end_rows, key_of, rows_at
from crewplan.store.schema import TABLE_ROWS, VERSIONS
from crewplan.store.versions import add_plan, add_version, newest


@dataclass(frozen=True, slots=True)
class Published:
    """A plan that is in."""

    number: int
    version: int
    flagged: tuple[str, ...]
    """Entries made while it was being solved; they are kept, and it does not know of them."""


def _since(connection: Connection, version: int) -> tuple[str, ...]:
    """Entries after a version.

    Raises:
        NotDone: where an import or another plan came in: this plan rests on tables that are gone.
    """
    wanted = select(VERSIONS).where(VERSIONS.c.number > version).order_by(VERSIONS.c.number)
    told = []
    for row in connection.execute(wanted):
        what = {"import": "an import", "plan": "another plan"}.get(row.kind)
        if what is not None:
            raise NotDone(
                f"{what} by {row.made_by} came in while the plan was made (version {row.number}); "
                "nothing was published: plan again"
            )
        told.append(
            f"version {row.number} was entered by {row.made_by} while the plan was made; "
            "it is kept, and the plan does not know of it."
        )
    return tuple(told)


def _with_pins(
    rows: Sequence[PlanRow], stood: Sequence[StoredRow], version: int
) -> tuple[PlanRow, ...]:
    """Pins entered during the solve, on the plan's rows.

    Raises:
        NotDone: where the plan moves what was pinned meanwhile.
    """
    entered: dict[str, PlanRow] = {
        row.key: row_of("plan", row.cells) for row in stood if row.changed_in > version
    }
    fresh = []
    for row in rows:
        was = entered.pop(key_of("plan", cells_of("plan", row)), None)
        if was is None:
            fresh.append(row)
            continue
        same = (was.crew, was.start_on, was.start_half) == (row.crew, row.start_on, row.start_half)
        if was.pinned and not same:
            entered[was.stage] = was
            break
        fresh.append(replace(row, pinned=was.pinned))
    for was in entered.values():
        if was.pinned:
            raise NotDone(
                f"stage {was.stage} was pinned to {was.start_on} {was.start_half} while the plan "
                "was made, and the plan has it elsewhere; nothing was published: plan again"
            )
    return tuple(fresh)


@dataclass(frozen=True, slots=True)
class Told:
    """What a plan expects, and what the clock said when it was made."""

    asked_at: datetime
    expected: Sequence[Expectation]


def publish(
    connection: Connection,
    rows: Sequence[PlanRow],
    by: str,
    at: datetime,
    version: int,
    told: Told | None = None,
) -> Published:
    """Write a plan that was made from a version; the caller holds the writer's turn.

    What it expects of its placements is kept with it.

    Raises:
        NotDone: where the branch has changed so that the plan no longer holds.
    """
    flagged = _since(connection, version)
    stood = rows_at(connection, table="plan").get("plan", [])
    former = {row.key: row for row in stood}
    here = newest(connection)
    present = here.present if here is not None else frozenset()
    number = add_version(connection, "plan", by, at, present | {"plan"})
    end_rows(connection, [row.id for row in stood], number)
    fresh = []
    for position, row in enumerate(_with_pins(rows, stood, version)):
        cells = cells_of("plan", row)
        was = former.get(key_of("plan", cells))
        same = was is not None and was.cells == cells
        fresh.append(
            NewRow(
                "plan",
                position,
                cells,
                replaces=was.id if was else None,
                changed_in=was.changed_in if was is not None and same else None,
            )
        )
    add_rows(connection, fresh, number)
    plan = add_plan(connection, number)
    _flag_entries(connection, plan, version, number, by, at)
    if told is not None:
        kept = [expectation_record(one, plan, told.asked_at) for one in told.expected]
        add_records(connection, kept, by, at)
    return Published(plan, number, flagged)


def _flag_entries(
    connection: Connection, plan: int, seen: int, number: int, by: str, at: datetime
) -> None:
    """Keep, with the plan, which entries it does not know of: a record for each stage or job."""
    wanted = (
        select(
            TABLE_ROWS.c.first_version,
            TABLE_ROWS.c.table_name,
            TABLE_ROWS.c.stage,
            TABLE_ROWS.c.job,
            VERSIONS.c.made_by,
        )
        .join(VERSIONS, TABLE_ROWS.c.first_version == VERSIONS.c.number)
        .where(TABLE_ROWS.c.first_version > seen, TABLE_ROWS.c.first_version < number)
        .distinct()
        .order_by(TABLE_ROWS.c.first_version, TABLE_ROWS.c.stage, TABLE_ROWS.c.job)
    )
    flags = [
        NewRecord(
            "flag",
            {
                "plan": plan,
                "version": row.first_version,
                "table": row.table_name,
                "by": row.made_by,
            },
            stage=row.stage,
            job=row.job,
        )
        for row in connection.execute(wanted)
    ]
    add_records(connection, flags, by, at)
