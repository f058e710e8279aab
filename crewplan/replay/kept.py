"""Forecasts that were kept, as of an evening."""

from collections.abc import Iterable, Sequence

from crewplan.model.weather_table import NO_TIME_S, WeatherTable
from crewplan.weather.forecast import PLANNING_MAX_AGE_H


def in_order(tables: Iterable[WeatherTable]) -> tuple[WeatherTable, ...]:
    """Those that say when all of their rows were issued, by the last of these times."""
    known = [table for table in tables if len(table) and int(table.issued_s.min()) > NO_TIME_S]
    return tuple(sorted(known, key=issued_s))


def issued_s(table: WeatherTable) -> int:
    """When the newest of its rows was issued, seconds since 1970-01-01 UTC: not known before."""
    return int(table.issued_s.max())


def newest(tables: Sequence[WeatherTable], now_s: int) -> WeatherTable | None:
    """The last of tables in order that was known by then and not too old.

    None: nobody kept one, or only older ones.
    """
    found = None
    for table in tables:
        if issued_s(table) > now_s:
            break
        found = table
    fresh = found is not None and now_s - issued_s(found) <= PLANNING_MAX_AGE_H * 3600
    return found if fresh else None
