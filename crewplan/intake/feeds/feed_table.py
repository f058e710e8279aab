"""Rows of feeds as a weather table, held to the checks that every table of weather passes."""

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

from crewplan.intake.faults import Report
from crewplan.intake.feeds.feed import FeedFault
from crewplan.intake.sources import Source
from crewplan.intake.weather_reading import read_weather
from crewplan.model.weather_table import WeatherRow, WeatherTable

_NAMES = (
    "valid_at",
    "issued_at",
    "member",
    "hours",
    "wind_mps",
    "gust_mps",
    "rain_mm",
    "temperature_c",
    "humidity_pct",
    "thunder",
    "place",
    "latitude",
    "longitude",
)


def _cell(value: object) -> str:
    return "" if value is None else str(value)


def feed_table(rows: Sequence[WeatherRow]) -> tuple[WeatherTable, tuple[str, ...]]:
    """The table, and what was odd about it: impossible values become unknown, with a sentence.

    Raises:
        FeedFault: where the rows would be faults in a table.
    """
    report = Report()
    lines = [",".join(_NAMES)]
    lines += [",".join(_cell(getattr(row, name)) for name in _NAMES) for row in rows]
    with TemporaryDirectory() as folder:
        path = Path(folder) / "weather.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        table = read_weather(Source("weather", "forecast", path), False, None, report)
    if table is None or report.faults:
        raise FeedFault("the forecast contradicts itself")
    return table, tuple(report.warnings)
