"""Sums of hours as they are kept beside the rows: years of them in one short query."""

from collections.abc import Collection
from typing import Any

from sqlalchemy import Connection, Select, select

from crewplan.model.hours_so_far import HoursSoFar
from crewplan.store.rows import chunks
from crewplan.store.schema import HOURS_SUMS


def _sums(kind: str) -> Select[Any]:
    return select(HOURS_SUMS).where(HOURS_SUMS.c.kind == kind)


def _found(connection: Connection, wanted: Select[Any]) -> dict[tuple[str, str], int]:
    """By name and cause; sums that corrections brought down to nothing are none."""
    rows = connection.execute(wanted)
    return {(row.name, row.cause): row.micro_h for row in rows if row.micro_h}


def kept_hours(connection: Connection, stages: Collection[str]) -> HoursSoFar:
    """Hours of everybody, and of some stages."""
    of_stages: dict[tuple[str, str], int] = {}
    for some in chunks(stages):
        of_stages |= _found(connection, _sums("stage").where(HOURS_SUMS.c.name.in_(some)))
    return HoursSoFar(of_stages, _found(connection, _sums("person")))
