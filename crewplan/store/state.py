"""A branch's own tables as they stand at a version."""

from sqlalchemy import Connection

from crewplan.intake.folder import OwnTables
from crewplan.model.weather_table import WeatherTable
from crewplan.store import weather_blob
from crewplan.store.cells import row_of
from crewplan.store.rows import cells_at
from crewplan.store.versions import last_import_by, version_at
from crewplan.store.whole import SETTINGS, settings_of, whole_at


def own_tables_at(connection: Connection, number: int | None = None) -> OwnTables:
    """All tables of a version, with the warnings of the import that it rests on.

    Raises:
        NotDone: there is no such version.
    """
    version = version_at(connection, number)
    whole = whole_at(connection, number)
    settings = settings_of(whole.pop(SETTINGS))
    stored = cells_at(connection, number)
    weather: dict[str, WeatherTable] = {
        name: weather_blob.unpacked(data) for name, data in whole.items()
    }
    rows = {
        name: tuple(row_of(name, cells) for cells in stored.get(name, ()))
        for name in version.present - weather.keys()
    }
    rests_on = last_import_by(connection, version.number)
    warnings = tuple(rests_on.details["warnings"]) if rests_on is not None else ()
    return OwnTables(settings, rows, weather, warnings)
