"""The latest of what people entered about one stage or one day, by small queries on indexes.

The board's look at a branch may be minutes old; what was just entered is read here, at once.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import ColumnElement, Connection, and_, false, or_, select

from crewplan.model.reading import Reading
from crewplan.model.work_rows import HoursWorked, Progress
from crewplan.store.cells import Cells, row_of
from crewplan.store.records import Record, found_records
from crewplan.store.rows import at_version, cells_read, json_text
from crewplan.store.schema import RECORDS, TABLE_ROWS


@dataclass(frozen=True, slots=True)
class Tick:
    """One item of the load-out list, as it was last left."""

    item: str
    ticked: bool
    by: str
    at: str
    """UTC, ISO 8601."""


@dataclass(frozen=True, slots=True)
class KeptReading:
    """A reading that stands, with the number that a correction names."""

    id: int
    reading: Reading
    gust: float | None
    mean: float | None
    unit: str
    """Gust and mean as they were read."""

    @property
    def words(self) -> str:
        """'gust 31 mph, mean 18 mph'."""
        both = (("gust", self.gust), ("mean", self.mean))
        return ", ".join(f"{name} {v:g} {self.unit}" for name, v in both if v is not None)


def ticks_of(connection: Connection, stage: str, day: date) -> Mapping[str, Tick]:
    """By item: the last word of anybody on a stage's list of a day."""
    wanted = select(RECORDS).where(
        RECORDS.c.stage == stage, RECORDS.c.kind == "tick", RECORDS.c.day == day.isoformat()
    )
    return {
        one.contents["item"]: Tick(one.contents["item"], one.contents["ticked"], one.by, one.at)
        for one in found_records(connection, wanted)
    }


def readings_on(
    connection: Connection,
    day: date,
    *,
    crew: str | None = None,
    stages: Collection[str] = (),
    jobs: Collection[str] = (),
) -> tuple[KeptReading, ...]:
    """Readings of a local day that were not taken back, oldest first.

    All of them; or, where a crew is named, its own and those of the stages and jobs.
    """
    wanted = select(RECORDS).where(RECORDS.c.kind == "reading", RECORDS.c.day == day.isoformat())
    if crew is not None:
        about = (RECORDS.c.stage.in_(stages), RECORDS.c.job.in_(jobs))
        taken_back = RECORDS.c.replaces.is_not(None)  # whoever's it was
        wanted = wanted.where(or_(RECORDS.c.crew == crew, *about, taken_back))
    found = found_records(connection, wanted)
    replaced = {one.replaces for one in found}
    return tuple(_kept(one) for one in found if one.id not in replaced and "at" in one.contents)


def _kept(record: Record) -> KeptReading:
    told = record.contents
    return KeptReading(
        record.id,
        Reading(
            datetime.fromisoformat(told["at"]),
            told["where"],
            record.stage,
            record.job,
            record.crew,
            told["mean_mps"],
            told["gust_mps"],
            record.by,
        ),
        told["gust"],
        told["mean"],
        told["unit"],
    )


def hours_of_stage(connection: Connection, stage: str) -> Mapping[int, HoursWorked]:
    """All hours on a stage, by the number that a correction names."""
    return {
        number: row_of("hours_worked", cells)
        for number, cells in _rows(connection, "hours_worked", TABLE_ROWS.c.stage == stage)
    }


def hours_of_day(
    connection: Connection, day: date, people: Collection[str]
) -> tuple[HoursWorked, ...]:
    """All hours of a day of some people, on whatever stage."""
    # a name stands in the cells as JSON has it; that it stands there as a name is seen below
    named = (TABLE_ROWS.c.cells.contains(json_text(name), autoescape=True) for name in people)
    theirs = and_(TABLE_ROWS.c.day == day.isoformat(), or_(false(), *named))
    rows = (row_of("hours_worked", cells) for _, cells in _rows(connection, "hours_worked", theirs))
    return tuple(row for row in rows if row.person in people)


def hours_lost_for(
    connection: Connection, causes: Collection[str], first: date, last: date
) -> tuple[HoursWorked, ...]:
    """Hours of some days that were lost for some causes, on whatever stage."""
    # that a word stands there as a cause is seen below
    named = (TABLE_ROWS.c.cells.contains(cause, autoescape=True) for cause in causes)
    days = TABLE_ROWS.c.day.between(first.isoformat(), last.isoformat())
    which = and_(days, or_(false(), *named))
    rows = (row_of("hours_worked", cells) for _, cells in _rows(connection, "hours_worked", which))
    return tuple(row for row in rows if row.cause in causes)


def progress_of_stage(connection: Connection, stage: str) -> Mapping[str, Progress]:
    """By step: the latest share done that was seen."""
    rows: list[Progress] = [
        row_of("progress", cells)
        for _, cells in _rows(connection, "progress", TABLE_ROWS.c.stage == stage)
    ]
    return {row.step: row for row in sorted(rows, key=lambda row: row.day)}


def _rows(
    connection: Connection, table: str, which: ColumnElement[bool]
) -> list[tuple[int, Cells]]:
    """Ids and cells in the table's order.

    Put in order here: asked for in order, SQLite reads five years of the table for it.
    """
    wanted = select(TABLE_ROWS.c.id, TABLE_ROWS.c.cells, TABLE_ROWS.c.position).where(
        which, TABLE_ROWS.c.table_name == table, at_version(TABLE_ROWS, None)
    )
    found = sorted(connection.execute(wanted), key=lambda row: row.position)
    return [(row.id, cells_read(table, row.cells)) for row in found]
