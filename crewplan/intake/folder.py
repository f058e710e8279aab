"""A whole branch folder: every table read, every fault told at once, or a Branch."""

from datetime import datetime
from pathlib import Path
from typing import Any

from crewplan.intake import limit_units
from crewplan.intake.checks import CHECKS
from crewplan.intake.checks.clock import check_clock
from crewplan.intake.checks.tables import Tables
from crewplan.intake.demo_mark import check_demo
from crewplan.intake.faults import Report
from crewplan.intake.package_rows import PACKAGE_TABLES, merged, package_rows
from crewplan.intake.settings_file import read_settings
from crewplan.intake.sources import Source, find_sources, locate, read_source
from crewplan.intake.typed_rows import ParsedTable, typed_rows
from crewplan.intake.weather_places import Coordinates
from crewplan.intake.weather_reading import no_weather, read_weather
from crewplan.model.branch import Branch
from crewplan.model.settings import Settings
from crewplan.model.tables import BY_NAME, TABLES
from crewplan.model.weather_table import WeatherTable

_WEATHER = ("weather", "weather_past")


def _parse(source: Source, report: Report) -> ParsedTable | None:
    raw = read_source(source, report)
    if raw is None:
        return None
    if source.name != "limits":
        return typed_rows(BY_NAME[source.name], raw, report)
    parsed = typed_rows(BY_NAME[source.name], limit_units.fill_in(raw), report)
    limit_units.to_canonical(parsed, report)
    return parsed


def _weather(
    sources: dict[str, Source], settings: Settings | None, report: Report
) -> dict[str, WeatherTable]:
    branch = Coordinates(settings.latitude, settings.longitude) if settings else None
    return {
        name: read_weather(sources[name], name == "weather_past", branch, report) or no_weather()
        for name in _WEATHER
        if name in sources
    }


def read_folder(path: Path, now: datetime | None = None) -> Branch:
    """Read a folder of CSV tables, or a workbook with branch.toml beside it.

    `now` is only used for warnings about records that lie after it.

    Raises:
        InputFaults: with every fault of every file; nothing is used then.
    """
    report = Report()
    folder, book = locate(Path(path), report)
    settings = read_settings(folder, report)
    sources = find_sources(folder, book, report)
    own: dict[str, ParsedTable] = {}
    for name, source in sources.items():
        parsed = None if name in _WEATHER else _parse(source, report)
        if parsed is not None:
            own[name] = parsed
    package = {name: package_rows(name) for name in PACKAGE_TABLES}
    unreadable = frozenset(name for name in sources if name not in own)
    tables = Tables(own, package, unreadable)
    for check in CHECKS:
        check(tables, report)
    weather = _weather(sources, settings, report)
    if settings is not None:
        check_demo(folder, sources, settings, report)
    if settings is not None and now is not None:
        check_clock(tables, weather, settings, now, report)
    report.raise_if_faulty()
    assert settings is not None  # a fault otherwise

    rows: dict[str, tuple[Any, ...]] = {name: parsed.build() for name, parsed in own.items()}
    for table in TABLES:
        if table.package_rows:
            rows[table.name] = merged(table.name, rows.get(table.name, ()))
    return Branch(
        settings=settings,
        present=frozenset(sources),
        weather=weather.get("weather", no_weather()),
        weather_past=weather.get("weather_past", no_weather()),
        package_limits=package["limits"],
        warnings=tuple(report.warnings),
        **rows,
    )
