"""All that happened to a stage, in order of time: imports, published plans, entries."""

import json
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, and_, or_, select

from crewplan.model.plan_row import PlanRow
from crewplan.model.tables import BY_NAME
from crewplan.store.cells import columns_of, row_of
from crewplan.store.faults import NotDone
from crewplan.store.record_words import record_words
from crewplan.store.records import found_records, records_about
from crewplan.store.rows import StoredRow, stored
from crewplan.store.schema import PLANS, TABLE_ROWS, VERSIONS

OF_ITS_JOB = ("jobs", "planes", "requirements")
"""Tables whose rows concern every stage of a job."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened."""

    at: str
    """UTC, ISO 8601, to the second."""
    by: str
    version: int
    how: str
    """import, entry, plan with its number, or record."""
    table: str
    what: str


EVENT_COLUMNS = ("at", "by", "version", "how", "table", "what")


def event_cells(events: tuple[Event, ...]) -> list[tuple[object, ...]]:
    """A row an event, in the order of EVENT_COLUMNS."""
    return [tuple(getattr(event, name) for name in EVENT_COLUMNS) for event in events]


def about_stage(stage: str, jobs: Collection[str]) -> Select[Any]:
    """All rows of a stage, and those of its jobs that concern it; ended ones too."""
    of_job = and_(TABLE_ROWS.c.job.in_(jobs), TABLE_ROWS.c.table_name.in_(OF_ITS_JOB))
    rows = select(TABLE_ROWS).where(or_(TABLE_ROWS.c.stage == stage, of_job))
    return rows.order_by(TABLE_ROWS.c.id)


def _jobs_of(connection: Connection, stage: str) -> set[str]:
    of_stage = select(TABLE_ROWS.c.job).where(
        TABLE_ROWS.c.table_name == "stages", TABLE_ROWS.c.stage == stage
    )
    jobs = set(connection.execute(of_stage).scalars())
    if not jobs:
        raise NotDone(f"{stage!r} is no stage of this branch, and never was")
    return jobs


def _named(row: StoredRow, stage: str) -> str:
    """Which row of its table, without the stage that everybody knows."""
    at = dict(zip(columns_of(row.table), row.cells, strict=True))
    key = [at[name] for name in BY_NAME[row.table].key]
    return " ".join(word for word in key if word != stage)


def _summary(row: StoredRow) -> str:
    cells = zip(columns_of(row.table), row.cells, strict=True)
    skip = {"stage", *BY_NAME[row.table].key}
    return ", ".join(f"{name} {text}" for name, text in cells if text and name not in skip)


def _changed(before: StoredRow, after: StoredRow) -> str:
    cells = zip(columns_of(after.table), before.cells, after.cells, strict=True)
    return ", ".join(
        f"{name} {was or 'empty'} -> {now or 'empty'}" for name, was, now in cells if was != now
    )


def _where(row: PlanRow) -> str:
    length = f"{row.half_days} half-day{'s' if row.half_days > 1 else ''}"
    return f"{row.start_on} {row.start_half} with {row.crew}, {length}"


def _in_plan(before: StoredRow | None, after: StoredRow | None) -> str:
    was: PlanRow | None = row_of("plan", before.cells) if before else None
    now: PlanRow | None = row_of("plan", after.cells) if after else None
    if now is None:
        return f"left the plan; it was on {_where(was)}" if was else ""
    if was is None:
        return f"placed on {_where(now)}" + (", pinned" if now.pinned else "")
    told = "" if _where(was) == _where(now) else f"moved from {_where(was)} to {_where(now)}"
    pin = "" if was.pinned == now.pinned else ("pinned" if now.pinned else "no longer pinned")
    return "; ".join(filter(None, (told, pin)))


def _words(before: StoredRow | None, after: StoredRow | None, stage: str) -> str:
    row = after or before
    assert row is not None  # one of them is there
    if row.table == "plan":
        return _in_plan(before, after)
    name = _named(row, stage)
    if before is None:
        told = f"added: {_summary(row)}"
    elif after is None:
        told = f"gone; it was: {_summary(row)}"
    else:
        told = f"changed: {_changed(before, after)}"
    return f"{name} {told}".strip()


def _pairs(
    rows: list[StoredRow],
) -> Iterator[tuple[int, StoredRow | None, StoredRow | None]]:
    """Version, the row before, the row after; rows that only took another place are left out."""
    by_id = {row.id: row for row in rows}
    replaced = {row.replaces for row in rows if row.replaces is not None}
    for row in rows:
        before = by_id.get(row.replaces) if row.replaces is not None else None
        if row.changed_in == row.first_version:
            yield row.first_version, before, row
        if row.last_version is not None and row.id not in replaced:
            yield row.last_version + 1, row, None


def history(connection: Connection, stage: str) -> tuple[Event, ...]:
    """Everything about a stage, and about its job, oldest first.

    Raises:
        NotDone: no version ever had such a stage.
    """
    jobs = _jobs_of(connection, stage)
    rows = [stored(row) for row in connection.execute(about_stage(stage, jobs))]
    found = sorted(
        _pairs(rows),
        key=lambda pair: (pair[0], (pair[2] or pair[1]).id),  # type: ignore[union-attr]
    )
    numbers = {number for number, _, _ in found}
    versions = {
        row.number: row
        for row in connection.execute(select(VERSIONS).where(VERSIONS.c.number.in_(numbers)))
    }
    plans = {row.version: row.number for row in connection.execute(select(PLANS))}
    events = []
    for number, before, after in found:
        version = versions[number]
        row = after or before
        told = _words(before, after, stage)
        if row is not None and told:
            how = f"plan {plans[number]}" if version.kind == "plan" else version.kind
            events.append(
                Event(version.made_at[:19] + "Z", version.made_by, number, how, row.table, told)
            )
    events += _recorded(connection, stage, jobs)
    # a record stands after the version that it was made at; both keep their own order
    return tuple(sorted(events, key=lambda event: event.version))


def _recorded(connection: Connection, stage: str, jobs: Collection[str]) -> list[Event]:
    records = found_records(connection, records_about(stage, sorted(jobs)))
    return [
        Event(one.at[:19] + "Z", one.by, one.version, "record", *record_words(one))
        for one in records
    ]


def history_json(events: tuple[Event, ...]) -> list[dict[str, object]]:
    """One object an event."""
    return [
        json.loads(json.dumps({name: getattr(event, name) for name in EVENT_COLUMNS}))
        for event in events
    ]


def history_text(stage: str, events: tuple[Event, ...]) -> str:
    """For people: a line an event."""
    lines = [f"Stage {stage}, oldest first; times in UTC."]
    lines += [
        f"{event.at}  {event.by}, {event.how} (version {event.version}): {event.table} {event.what}"
        for event in events
    ]
    return "\n".join(lines)
