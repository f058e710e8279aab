"""Rows of the branch's tables as they stand at a version."""

import json
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from operator import itemgetter
from typing import Any, TypeVar

from sqlalchemy import (
    ColumnElement,
    Connection,
    Table,
    and_,
    bindparam,
    insert,
    or_,
    select,
    update,
)

from crewplan.model.tables import BY_NAME
from crewplan.store.cells import Cells, columns_of, completed
from crewplan.store.schema import TABLE_ROWS
from crewplan.store.upkeep import Moved, begun, ended

_Value = TypeVar("_Value", int, str)
AT_ONCE = 500
"""Values of one statement: older SQLite takes no more than 999."""
_READ_AT_ONCE = 10_000
"""Rows."""


@dataclass(frozen=True, slots=True)
class StoredRow:
    """One row that stands, or stood."""

    id: int
    table: str
    position: int
    cells: Cells
    changed_in: int
    """The version in which the row got these cells."""
    entered: bool
    """Not as the last imported file has it: entered, or published."""
    file_cells: Cells | None
    """What the last imported file has in an entered row's place; None: nothing."""
    first_version: int
    last_version: int | None
    replaces: int | None

    @property
    def key(self) -> str:
        """As `key_of` tells it."""
        return key_of(self.table, self.cells)


@dataclass(frozen=True, slots=True)
class NewRow:
    """One row to be written."""

    table: str
    position: int
    cells: Cells
    entered: bool = False
    file_cells: Cells | None = None
    replaces: int | None = None
    changed_in: int | None = None
    """None: in the version that writes it."""


# one for all: json.dumps makes a new one at each call, of which an import makes a million
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))


def json_text(value: Any) -> str:
    """JSON without blanks, letters as they are."""
    return _ENCODER.encode(value)


@cache
def _key_places(table: str) -> tuple[int, ...]:
    columns = columns_of(table)
    return tuple(columns.index(name) for name in BY_NAME[table].key)


def key_of(table: str, cells: Cells) -> str:
    """The row's key as JSON; empty where the table has none."""
    at = _key_places(table)
    return json_text([cells[place] for place in at]) if at else ""


@cache
def _place(table: str, column: str) -> int | None:
    columns = columns_of(table)
    return columns.index(column) if column in columns else None


def word_of(table: str, cells: Cells, column: str) -> str:
    """One cell; empty where the table has no such column."""
    place = _place(table, column)
    return "" if place is None else cells[place]


def at_version(table: Table, version: int | None) -> ColumnElement[bool]:
    """Rows that stand at a version; None: now."""
    if version is None:
        return table.c.last_version.is_(None)
    ended = or_(table.c.last_version.is_(None), table.c.last_version >= version)
    return and_(table.c.first_version <= version, ended)


def cells_read(table: str, text: str) -> Cells:
    """Cells as they were written; columns that the table has got since are at their defaults."""
    return completed(table, tuple(json.loads(text)))


def stored(row: Any) -> StoredRow:
    """A row as it comes from the database."""
    return StoredRow(
        row.id,
        row.table_name,
        row.position,
        cells_read(row.table_name, row.cells),
        row.changed_in,
        row.entered,
        None if row.file_cells is None else cells_read(row.table_name, row.file_cells),
        row.first_version,
        row.last_version,
        row.replaces,
    )


def rows_at(
    connection: Connection, version: int | None = None, table: str | None = None
) -> dict[str, list[StoredRow]]:
    """All rows by table, in their order."""
    wanted = select(TABLE_ROWS).where(at_version(TABLE_ROWS, version))
    if table is not None:
        wanted = wanted.where(TABLE_ROWS.c.table_name == table)
    found: dict[str, list[StoredRow]] = {}
    for row in connection.execute(wanted.order_by(TABLE_ROWS.c.table_name, TABLE_ROWS.c.position)):
        found.setdefault(row.table_name, []).append(stored(row))
    return found


def cells_at(connection: Connection, version: int | None = None) -> dict[str, list[Cells]]:
    """The cells of all rows by table, in their order: all that reading a branch needs."""
    columns = (TABLE_ROWS.c.table_name, TABLE_ROWS.c.cells)
    wanted = select(*columns).where(at_version(TABLE_ROWS, version))
    found: dict[str, list[str]] = {}
    for table, text in connection.execute(
        wanted.order_by(TABLE_ROWS.c.table_name, TABLE_ROWS.c.position)
    ):
        found.setdefault(table, []).append(text)
    return {table: list(_all_read(table, texts)) for table, texts in found.items()}


def _all_read(table: str, texts: Sequence[str]) -> Iterator[Cells]:
    """As `cells_read`, many rows as one text: alone, half a million take twice as long."""
    for first in range(0, len(texts), _READ_AT_ONCE):
        for cells in json.loads(f"[{','.join(texts[first : first + _READ_AT_ONCE])}]"):
            yield completed(table, tuple(cells))


def chunks(values: Collection[_Value]) -> Iterator[list[_Value]]:
    """In order, as many as one statement takes."""
    ordered = sorted(values)
    for first in range(0, len(ordered), AT_ONCE):
        yield ordered[first : first + AT_ONCE]


def rows_by_id(connection: Connection, ids: Collection[int]) -> list[StoredRow]:
    """Rows by their ids, in no order."""
    found: list[StoredRow] = []
    for some in chunks(ids):
        found += map(
            stored, connection.execute(select(TABLE_ROWS).where(TABLE_ROWS.c.id.in_(some)))
        )
    return found


def _moved(table: str, cells: Cells) -> Moved:
    return Moved(table, word_of(table, cells, "stage"), word_of(table, cells, "job"), cells)


def end_rows(connection: Connection, ids: Iterable[int], version: int) -> None:
    """Rows that no longer stand from a version on."""
    statement = (
        update(TABLE_ROWS)
        .where(TABLE_ROWS.c.id == bindparam("ended"))
        .values(last_version=version - 1)
    )
    ends = list(ids)
    if ends:
        gone = rows_by_id(connection, ends)
        connection.execute(statement, [{"ended": number} for number in ends])
        ended(connection, [_moved(row.table, row.cells) for row in gone])


def _write(connection: Connection, values: list[dict[str, Any]]) -> None:
    """As the driver takes them: for half a million rows, looking at each value costs seconds."""
    way = insert(TABLE_ROWS).compile(dialect=connection.dialect, column_keys=list(values[0]))
    order: Any = getattr(way, "positiontup", None)  # None: the driver takes names
    rows: list[Any] = values if order is None else list(map(itemgetter(*order), values))
    connection.exec_driver_sql(way.string, rows)


def add_rows(connection: Connection, rows: Sequence[NewRow], version: int) -> None:
    """Rows that stand from a version on."""
    if not rows:
        return
    values: list[dict[str, Any]] = [
        {
            "table_name": row.table,
            "position": row.position,
            "row_key": key_of(row.table, row.cells),
            "stage": word_of(row.table, row.cells, "stage"),
            "job": word_of(row.table, row.cells, "job"),
            "day": word_of(row.table, row.cells, "day"),
            "cells": json_text(row.cells),
            "changed_in": version if row.changed_in is None else row.changed_in,
            "entered": row.entered,
            "file_cells": None if row.file_cells is None else json_text(row.file_cells),
            "replaces": row.replaces,
            "first_version": version,
        }
        for row in rows
    ]
    _write(connection, values)
    told = zip(rows, values, strict=True)
    begun(connection, [Moved(row.table, of["stage"], of["job"], row.cells) for row, of in told])
