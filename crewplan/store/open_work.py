"""What a plan and the board's pages need of a branch: open jobs, and none of the finished ones.

After five years nearly all jobs are finished. Their rows are left out, but for those whose stages
an open one comes after; hours are left out too, since no plan counts them (`hours_sums.py` has
their sums). What is made from these tables is the same as from all of them, which tests hold.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, Select, func, or_, select

from crewplan.intake.checks.clock import days_to_come, grant_to_come
from crewplan.intake.folder import OwnTables
from crewplan.model.calendar import local_day
from crewplan.model.tables import TABLES
from crewplan.store import weather_blob
from crewplan.store.cells import row_of
from crewplan.store.finished import is_settled
from crewplan.store.rows import cells_read, chunks
from crewplan.store.schema import JOB_STATES, TABLE_ROWS
from crewplan.store.versions import last_import_by, version_at
from crewplan.store.whole import SETTINGS, settings_of, whole_at

BY_JOB = ("jobs", "planes", "requirements", "stages")
BY_STAGE = ("progress", "plan")
RECORDS = ("hours_worked", "progress")
ALWAYS = tuple(
    table.name
    for table in TABLES
    if table.name not in (*BY_JOB, *BY_STAGE, "hours_worked", "weather", "weather_past")
)
"""Tables that are read whole: they do not grow with the jobs that were ever done, but for
`lead_times`, all of which counts."""


class NotSettled(Exception):
    """Which jobs are finished was worked out with other rules than those that stand."""


@dataclass(frozen=True, slots=True)
class OpenWork:
    """The tables, and done stages that are not among them."""

    own: OwnTables
    finished: tuple[str, ...]


def open_jobs(today: date) -> Select[Any]:
    """Jobs that are not finished by a day."""
    ends = JOB_STATES.c.finished_on
    return select(JOB_STATES.c.job).where(or_(ends.is_(None), ends > today.isoformat()))


def standing(tables: Collection[str], **words: Collection[str]) -> Select[Any]:
    """Rows that stand now of some tables, in no order; `words` by column: stage or job."""
    columns = (TABLE_ROWS.c[name] for name in ("table_name", "position", "job", "cells"))
    wanted = select(*columns).where(
        TABLE_ROWS.c.table_name.in_(tables), TABLE_ROWS.c.last_version.is_(None)
    )
    for column, among in words.items():
        wanted = wanted.where(TABLE_ROWS.c[column].in_(among))
    return wanted


def standing_rows(connection: Connection, table: str, **words: Collection[str]) -> list[Any]:
    """Rows of a table that stand now, of the stages or jobs named, in the table's order."""
    ((column, among),) = words.items()
    found = [
        row
        for some in chunks(among)
        for row in connection.execute(standing((table,), **{column: some}))
    ]
    return _typed(table, found)


def _typed(table: str, rows: Iterable[Any]) -> list[Any]:
    """Rows of the model, in the table's order."""
    in_order = sorted(rows, key=lambda row: row.position)
    return [row_of(table, cells_read(table, row.cells)) for row in in_order]


def finished_stages(today: date) -> Select[Any]:
    """Stages of jobs that are finished by a day."""
    return (
        select(TABLE_ROWS.c.stage)
        .join(JOB_STATES, JOB_STATES.c.job == TABLE_ROWS.c.job)
        .where(
            JOB_STATES.c.finished_on <= today.isoformat(),
            TABLE_ROWS.c.table_name == "stages",
            TABLE_ROWS.c.last_version.is_(None),
        )
    )


def later_than(table: str, today: date) -> "Select[int, Any]":
    """How many rows of a record lie after a day, and where the first of them stands."""
    return select(func.count(), func.min(TABLE_ROWS.c.position)).where(
        TABLE_ROWS.c.table_name == table,
        TABLE_ROWS.c.last_version.is_(None),
        TABLE_ROWS.c.day > today.isoformat(),
    )


class _Reading:
    """Rows read so far, by table."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self.rows: dict[str, list[Any]] = {}
        self.stages: set[str] = set()

    def take(self, wanted: Select[Any]) -> list[Any]:
        """Read rows; those of the table `stages` among them, typed."""
        fresh = self.connection.execute(wanted).all()
        for row in fresh:
            self.rows.setdefault(row.table_name, []).append(row)
        return _typed("stages", (row for row in fresh if row.table_name == "stages"))

    def jobs(self, jobs: Collection[str]) -> set[str]:
        """Read jobs; the jobs of stages that theirs come after."""
        stages = [stage for some in chunks(jobs) for stage in self.take(standing(BY_JOB, job=some))]
        self.stages |= {stage.stage for stage in stages}
        before = {name for stage in stages for name in stage.after} - self.stages
        return self.jobs_of(before)

    def jobs_of(self, stages: Collection[str]) -> set[str]:
        wanted = (standing(("stages",), stage=some) for some in chunks(stages))
        return {row.job for one in wanted for row in self.connection.execute(one)}

    def typed(self, table: str) -> tuple[Any, ...]:
        return tuple(_typed(table, self.rows.get(table, ())))


def _days_to_come(connection: Connection, today: date) -> Iterator[str]:
    """Warnings about records of days after today, as intake words them."""
    for table in RECORDS:
        count, place = connection.execute(later_than(table, today)).one()
        if count:
            yield days_to_come(table, _number(connection, table, place), count, today)


def _number(connection: Connection, table: str, place: int) -> int:
    """The row at a position as a spreadsheet counts the whole table: its header is 1."""
    before = select(func.count()).where(
        TABLE_ROWS.c.table_name == table,
        TABLE_ROWS.c.last_version.is_(None),
        TABLE_ROWS.c.position < place,
    )
    return int(connection.execute(before).scalar_one()) + 2


def _grants_to_come(
    connection: Connection, requirements: Iterable[Any], today: date
) -> Iterator[str]:
    """Warnings about grants of days after today, as intake words them."""
    for row in sorted(requirements, key=lambda row: row.position):
        granted = row_of("requirements", cells_read("requirements", row.cells)).granted_on
        if granted is not None and granted > today:
            number = _number(connection, "requirements", row.position)
            yield grant_to_come("requirements", number, "granted_on", granted, today)


def open_work(
    connection: Connection,
    now: datetime,
    *,
    warn: bool,
    jobs: Collection[str] = (),
    stages: Collection[str] = (),
) -> OpenWork:
    """The newest version's open work; with the jobs and stages asked for, finished or not.

    `warn` tells records of days after `now`.

    Raises:
        NotSettled: `finished.settle` has to work out first what is finished.
        NotDone: nothing has been imported yet.
    """
    version = version_at(connection, None)
    whole = whole_at(connection, None)
    settings = settings_of(whole.pop(SETTINGS))
    today = local_day(settings, now)
    reading = _Reading(connection)
    reading.take(standing(ALWAYS))
    rows = {name: reading.typed(name) for name in ALWAYS}
    if not is_settled(connection, rows):
        raise NotSettled
    seen: set[str] = set()
    to_see = {*connection.execute(open_jobs(today)).scalars(), *jobs, *reading.jobs_of(stages)}
    while to_see:
        seen |= to_see
        to_see = reading.jobs(to_see) - seen
    for some in chunks(reading.stages):
        reading.take(standing(BY_STAGE, stage=some))
    rows |= {name: reading.typed(name) for name in (*BY_JOB, *BY_STAGE)}
    rows["hours_worked"] = ()
    finished = connection.execute(finished_stages(today)).scalars()
    rests_on = last_import_by(connection, version.number)
    told = tuple(rests_on.details["warnings"]) if rests_on is not None else ()
    late: tuple[str, ...] = ()
    if warn:
        grants = _grants_to_come(connection, reading.rows.get("requirements", ()), today)
        late = (*_days_to_come(connection, today), *grants)
    weather = {name: weather_blob.unpacked(data) for name, data in whole.items()}
    return OpenWork(
        OwnTables(
            settings,
            {name: rows[name] for name in version.present - weather.keys()},
            weather,
            (*told, *late),
        ),
        tuple(sorted(set(finished) - reading.stages)),
    )
