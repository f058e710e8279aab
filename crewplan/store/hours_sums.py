"""Sums of hours as they are kept beside the rows: years of them in one short query."""

from collections.abc import Collection
from typing import Any

from sqlalchemy import Connection, Select, func, select

from crewplan.model.hours_so_far import HoursSoFar
from crewplan.store.rows import chunks
from crewplan.store.schema import HOURS_SUMS


def sums_of_people() -> Select[Any]:
    """Person, cause and millionths of an hour, over all stages."""
    by = (HOURS_SUMS.c.person, HOURS_SUMS.c.cause)
    return select(*by, func.sum(HOURS_SUMS.c.micro_h).label("micro_h")).group_by(*by)


def sums_of_stages(stages: Collection[str]) -> Select[Any]:
    """Stage, cause and millionths of an hour."""
    by = (HOURS_SUMS.c.stage, HOURS_SUMS.c.cause)
    wanted = select(*by, func.sum(HOURS_SUMS.c.micro_h).label("micro_h"))
    return wanted.where(HOURS_SUMS.c.stage.in_(stages)).group_by(*by)


def kept_hours(connection: Connection, stages: Collection[str]) -> HoursSoFar:
    """Hours of everybody, and of some stages."""
    people = connection.execute(sums_of_people())
    return HoursSoFar(
        of_people={(row.person, row.cause): int(row.micro_h) for row in people if row.micro_h},
        of_stages={
            (row.stage, row.cause): int(row.micro_h)
            for some in chunks(stages)
            for row in connection.execute(sums_of_stages(some))
            if row.micro_h
        },
    )
