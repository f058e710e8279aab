"""Where a fetched forecast goes: the database of a branch, or weather.csv in its folder."""

from datetime import UTC, datetime
from pathlib import Path

from crewplan.model.settings import Settings
from crewplan.model.weather_table import WeatherTable
from crewplan.store.place import has_database, place_of
from crewplan.store.weather_csv import weather_csv


def cache_of(source: str | Path) -> Path:
    """Where a feed's answers are kept: beside the branch's tables, or with the user's own files.

    Raises:
        OSError: where there is no such place.
    """
    file = place_of(source).file
    if file is not None:
        return file.parent / ".feed_answers.sqlite"
    from platformdirs import user_cache_path

    return user_cache_path("crewplan", ensure_exists=True) / "feed_answers.sqlite"


def keep_forecast(source: str | Path, table: WeatherTable, settings: Settings, by: str) -> str:
    """Write it whole or not at all, and say in words where it is.

    Raises:
        InputFaults: where the folder keeps its weather as a sheet of a workbook.
        OSError: where the disk refuses.
        StoreFault: where the database does.
    """
    now = datetime.now(UTC)
    if not has_database(source):
        from crewplan.intake.replacing import replace_table

        written = replace_table(Path(source), "weather", weather_csv(table, settings), now)
        return f"{written.name} is written, the former one kept beside it"
    from crewplan.store.connecting import open_store
    from crewplan.store.weather_version import replace_weather

    with open_store(place_of(source)).write() as connection:
        version = replace_weather(connection, table, by, now)
    return "it is the one at hand already" if version is None else f"version {version}"
