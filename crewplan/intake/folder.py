"""A whole branch folder: every table read, every fault told at once, or a Branch."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from crewplan.intake import limit_units
from crewplan.intake.checks import CHECKS
from crewplan.intake.checks.clock import check_clock
from crewplan.intake.checks.tables import Tables
from crewplan.intake.demo_mark import check_demo
from crewplan.intake.faults import Report
from crewplan.intake.gaps import close_gaps
from crewplan.intake.package_rows import PACKAGE_TABLES, merged, package_rows
from crewplan.intake.settings_file import FILE, read_settings
from crewplan.intake.sources import Source, find_sources, locate, read_source, tell_flaws
from crewplan.intake.typed_rows import ParsedTable, as_parsed, typed_rows
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
    limits = source.name == "limits"
    parsed = typed_rows(BY_NAME[source.name], limit_units.fill_in(raw) if limits else raw, report)
    if limits:
        limit_units.to_canonical(parsed, report)
    package = package_rows(source.name) if source.name in PACKAGE_TABLES else ()
    close_gaps(parsed, package, report)
    return parsed


def _package() -> dict[str, tuple[Any, ...]]:
    return {name: package_rows(name) for name in PACKAGE_TABLES}


def _weather(
    sources: dict[str, Source], settings: Settings | None, report: Report
) -> dict[str, WeatherTable]:
    branch = Coordinates(settings.latitude, settings.longitude) if settings else None
    return {
        name: read_weather(sources[name], name == "weather_past", branch, report) or no_weather()
        for name in _WEATHER
        if name in sources
    }


@dataclass(frozen=True, slots=True, eq=False)
class OwnTables:
    """What a folder itself holds, before the package's rows are merged in.

    `rows` has an entry for each table that is there, the weather tables apart.
    """

    settings: Settings
    rows: Mapping[str, tuple[Any, ...]]
    weather: Mapping[str, WeatherTable]
    warnings: tuple[str, ...] = ()
    brought: frozenset[str] = frozenset()
    """Tables (settings: `branch.toml`) that were read, where others stood already."""

    @property
    def present(self) -> frozenset[str]:
        """Tables that are there, if only by their header."""
        return frozenset(self.rows) | frozenset(self.weather)


def read_own_tables(
    path: Path, now: datetime | None = None, beside: OwnTables | None = None
) -> OwnTables:
    """Read a folder of CSV tables, or a workbook with branch.toml beside it.

    `now` is only used for warnings about records that lie after it. `beside` has what stands
    already: tables and settings that the folder does not bring are taken from there, and the
    folder's are held to them.

    Raises:
        InputFaults: with every fault of every file; nothing is used then.
    """
    report = Report()
    folder, book = locate(Path(path), report)
    settings = beside.settings if beside is not None else None
    brings_settings = beside is None or os.path.lexists(folder / FILE)
    if brings_settings:
        settings = read_settings(folder, report)
    sources = find_sources(folder, book, report, beside.present if beside else ())
    own: dict[str, ParsedTable] = {}
    for name, source in sources.items():
        tell_flaws(source, report)
        parsed = None if name in _WEATHER else _parse(source, report)
        if parsed is not None:
            own[name] = parsed
    unreadable = frozenset(name for name in sources if name not in own)
    standing = {} if beside is None else {n: r for n, r in beside.rows.items() if n not in sources}
    all_rows = own | {name: as_parsed(BY_NAME[name], rows) for name, rows in standing.items()}
    tables = Tables(all_rows, _package(), unreadable)
    for check in CHECKS:
        check(tables, report)
    weather = _weather(sources, settings, report)
    if settings is not None and brings_settings:
        check_demo(folder, sources, settings, report)
    if settings is not None and now is not None:
        check_clock(tables, weather, settings, now, report)
    report.raise_if_faulty()
    assert settings is not None  # a fault otherwise
    rows = standing | {name: parsed.build() for name, parsed in own.items()}
    weather = {**(beside.weather if beside else {}), **weather}
    brought = frozenset(sources) | ({FILE} if brings_settings else set())
    return OwnTables(settings, rows, weather, tuple(report.warnings), brought)


def checked_again(own: OwnTables, now: datetime | None = None, *, thoroughly: bool) -> OwnTables:
    """The same tables with the warnings that hold for them at `now` added.

    Files are named by their table's name, rows as an export would number them. `thoroughly` holds
    all rows to the checks between rows and between tables too, for tables that were put together.

    Raises:
        InputFaults: where they do not go together.
    """
    report = Report()
    parsed = {name: as_parsed(BY_NAME[name], rows) for name, rows in own.rows.items()}
    tables = Tables(parsed, _package(), frozenset())
    if thoroughly:
        for check in CHECKS:
            check(tables, report)
    if now is not None:
        check_clock(tables, own.weather, own.settings, now, report)
    report.raise_if_faulty()
    warnings = tuple(dict.fromkeys((*own.warnings, *report.warnings)))
    return OwnTables(own.settings, own.rows, own.weather, warnings, own.brought)


def branch_of(own: OwnTables) -> Branch:
    """A folder's own tables with the package's rows merged in."""
    rows: dict[str, tuple[Any, ...]] = dict(own.rows)
    for table in TABLES:
        if table.package_rows:
            rows[table.name] = merged(table.name, rows.get(table.name, ()))
    return Branch(
        settings=own.settings,
        present=own.present,
        weather=own.weather.get("weather", no_weather()),
        weather_past=own.weather.get("weather_past", no_weather()),
        package_limits=package_rows("limits"),
        warnings=own.warnings,
        **rows,
    )


def read_folder(path: Path, now: datetime | None = None) -> Branch:
    """A folder or workbook as a branch; as `read_own_tables` reads it.

    Raises:
        InputFaults: with every fault of every file; nothing is used then.
    """
    return branch_of(read_own_tables(path, now))
