"""Forecasts that were replaced since: files kept beside weather.csv, or versions of a database."""

from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import select

from crewplan.intake.faults import Report
from crewplan.intake.sources import Source
from crewplan.intake.weather_places import Coordinates
from crewplan.intake.weather_reading import read_weather
from crewplan.model.settings import Settings
from crewplan.model.weather_table import WeatherTable
from crewplan.store import weather_blob
from crewplan.store.connecting import open_store
from crewplan.store.place import has_database, place_of
from crewplan.store.schema import WHOLE_TABLES


def kept_forecasts(source: str | Path, settings: Settings) -> Iterator[WeatherTable]:
    """All of them, one after the other; a file that cannot be read any more is left out."""
    if has_database(source):
        wanted = select(WHOLE_TABLES.c.contents).where(WHOLE_TABLES.c.table_name == "weather")
        with open_store(place_of(source)).read() as connection:
            for (contents,) in connection.execute(wanted):
                yield weather_blob.unpacked(contents)
        return
    here = Coordinates(settings.latitude, settings.longitude)
    for path in sorted(Path(source).glob("weather*.csv")):
        if path.stem != "weather" and not path.stem.startswith("weather."):
            continue
        report = Report()
        table = read_weather(Source("weather", path.name, path), False, here, report)
        if table is not None and not report.faults:
            yield table
