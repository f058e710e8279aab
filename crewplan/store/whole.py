"""Tables that are kept whole: the weather, and the settings' text."""

from dataclasses import dataclass
from hashlib import sha256

from sqlalchemy import Connection, insert, select, update

from crewplan.intake.faults import Report
from crewplan.intake.settings_file import settings_of_text
from crewplan.model.settings import Settings
from crewplan.model.weather_table import WeatherTable
from crewplan.store import weather_blob
from crewplan.store.faults import StoreFault
from crewplan.store.rows import at_version
from crewplan.store.schema import WHOLE_TABLES
from crewplan.store.settings_text import settings_toml

SETTINGS = "branch.toml"


@dataclass(frozen=True, slots=True)
class Whole:
    """A table to be kept; packed only where it is new."""

    digest: str
    table: WeatherTable | Settings

    def contents(self) -> bytes:
        """As the database keeps it."""
        if isinstance(self.table, Settings):
            return settings_toml(self.table).encode()
        return weather_blob.packed(self.table)


def whole_of(table: WeatherTable | Settings) -> Whole:
    """A table with its digest."""
    if isinstance(table, Settings):
        return Whole(sha256(settings_toml(table).encode()).hexdigest(), table)
    return Whole(weather_blob.digest(table), table)


def whole_digests(connection: Connection) -> dict[str, str]:
    """Digests of what stands, by table."""
    wanted = select(WHOLE_TABLES.c.table_name, WHOLE_TABLES.c.digest)
    found = connection.execute(wanted.where(at_version(WHOLE_TABLES, None)))
    return {row.table_name: row.digest for row in found}


def whole_at(connection: Connection, version: int | None) -> dict[str, bytes]:
    """Contents by table, at a version."""
    wanted = select(WHOLE_TABLES.c.table_name, WHOLE_TABLES.c.contents)
    found = connection.execute(wanted.where(at_version(WHOLE_TABLES, version)))
    return {row.table_name: row.contents for row in found}


def settings_at(connection: Connection) -> Settings | None:
    """The settings that stand; None where nothing was imported yet.

    Raises:
        StoreFault: their text cannot be read.
    """
    wanted = select(WHOLE_TABLES.c.contents).where(
        at_version(WHOLE_TABLES, None), WHOLE_TABLES.c.table_name == SETTINGS
    )
    contents = connection.execute(wanted).scalar()
    return None if contents is None else settings_of(contents)


def settings_of(contents: bytes) -> Settings:
    """Settings as `Whole.contents` gives them.

    Raises:
        StoreFault: their text cannot be read.
    """
    settings = settings_of_text(contents.decode(), Report())
    if settings is None:
        raise StoreFault("the settings in the database are damaged; restore a backup")
    return settings


def replace_whole(connection: Connection, name: str, new: Whole | None, version: int) -> None:
    """End what stands, and keep the new one (None: the table is gone)."""
    standing = at_version(WHOLE_TABLES, None) & (WHOLE_TABLES.c.table_name == name)
    connection.execute(update(WHOLE_TABLES).where(standing).values(last_version=version - 1))
    if new is not None:
        values = {
            "table_name": name,
            "contents": new.contents(),
            "digest": new.digest,
            "first_version": version,
        }
        connection.execute(insert(WHOLE_TABLES), values)
