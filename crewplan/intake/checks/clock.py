"""Records that lie after now, and deliveries that were due before it: warnings only."""

from collections.abc import Mapping
from datetime import date, datetime

from crewplan.intake.checks.tables import Tables
from crewplan.intake.faults import Report, quoted
from crewplan.intake.typed_rows import ParsedRow, ParsedTable
from crewplan.model.calendar import local_day
from crewplan.model.settings import Settings
from crewplan.model.weather_table import WeatherTable


def days_to_come(file: str, first: int, count: int, today: date) -> str:
    """The sentence about a record's rows of days after today; `first` as a spreadsheet counts."""
    return (
        f"{file}, row {first}, column day: a day after today, {today}; "
        f"rows like it: {count}; no plan counts them yet."
    )


def grant_to_come(file: str, number: int, column: str, granted: date, today: date) -> str:
    """The sentence about a grant of a day after today; `number` as a spreadsheet counts."""
    return (
        f"{file}, row {number}, column {column}: {quoted(str(granted))} is a day after today, "
        f"{today}; it counts as in hand from that day on: was it granted?"
    )


def check_clock(
    tables: Tables,
    weather: Mapping[str, WeatherTable],
    settings: Settings,
    now: datetime,
    report: Report,
) -> None:
    """Records of days to come, forecasts issued after now, arrivals not booked in."""
    today = local_day(settings, now)
    for name in ("hours_worked", "progress"):
        late = [
            (parsed.file, row.number)
            for parsed, row in tables.rows(name)
            if row.values.get("day", today) > today
        ]
        if late:
            file, first = late[0]
            report.warn(days_to_come(file, first, len(late), today))
    for parsed, row in tables.rows("requirements"):
        _check_grant(parsed, row, today, report)
    for parsed, row in tables.rows("arrivals"):
        _check_arrival(parsed, row, today, report)
    for name, table in weather.items():
        ahead = int((table.issued_s > now.timestamp()).sum())
        if ahead:
            rows = "row was" if ahead == 1 else "rows were"
            report.warn(f"{name}: {ahead} {rows} issued after now, and taken as unknown.")


def _check_grant(parsed: ParsedTable, row: ParsedRow, today: date, report: Report) -> None:
    granted = row.values.get("granted_on")
    if granted is not None and granted > today:
        column = parsed.column("granted_on")
        report.warn(grant_to_come(parsed.file, row.number, column, granted, today))


def _check_arrival(parsed: ParsedTable, row: ParsedRow, today: date, report: Report) -> None:
    expected, came = row.values.get("expected_on"), row.values.get("arrived_on")
    if came is not None and came > today:
        report.warn(
            f"{parsed.file}, row {row.number}, column {parsed.column('arrived_on')}: "
            f"{quoted(str(came))} is a day after today, {today}; until then it is on its way."
        )
    elif came is None and expected is not None and expected < today:
        report.warn(
            f"{parsed.file}, row {row.number}, column {parsed.column('expected_on')}: "
            f"{quoted(str(expected))} has passed, and {row.values.get('item', '')} is not booked "
            "in: ask the supplier; it counts as on its way, never as in stock."
        )
