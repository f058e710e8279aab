"""A branch's name, without reading its tables."""

import tomllib

from sqlalchemy import Connection, select

from crewplan.store.rows import at_version
from crewplan.store.schema import WHOLE_TABLES
from crewplan.store.whole import SETTINGS


def branch_name(connection: Connection) -> str:
    """As its settings have it; empty where nothing was imported yet."""
    wanted = select(WHOLE_TABLES.c.contents).where(
        at_version(WHOLE_TABLES, None), WHOLE_TABLES.c.table_name == SETTINGS
    )
    contents = connection.execute(wanted).scalar()
    return "" if contents is None else str(tomllib.loads(bytes(contents).decode())["name"])
