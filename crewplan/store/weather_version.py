"""A new forecast into the database: a version that changes the weather table alone."""

from datetime import datetime

from sqlalchemy import Connection

from crewplan.model.weather_table import WeatherTable
from crewplan.store.versions import add_version, newest, version_at
from crewplan.store.whole import replace_whole, whole_digests, whole_of

WEATHER = "weather"


def replace_weather(
    connection: Connection, table: WeatherTable, by: str, at: datetime
) -> int | None:
    """The version's number; None where nothing has changed. The caller holds the writer's turn.

    What the last import knew of the folder's files stays known, so that a later import takes the
    folder's weather.csv only where that file was changed.
    """
    last, imported = version_at(connection, None), newest(connection, "import")
    new = whole_of(table)
    if whole_digests(connection).get(WEATHER) == new.digest:
        return None
    details = imported.details if imported is not None else {}
    version = add_version(
        connection,
        "import",
        by,
        at,
        last.present | {WEATHER},
        digest=last.digest,
        details={"warnings": (), "files": details.get("files", {}), "only": WEATHER},
    )
    replace_whole(connection, WEATHER, new, version)
    return version
