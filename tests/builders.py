"""Small valid tables for tests: each builder fills in what a test does not care about."""

import csv
from collections.abc import Sequence
from dataclasses import fields
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.job_rows import Job, Module, Plane, Racking, Stage
from crewplan.model.limit_row import CANONICAL_UNIT, Limit
from crewplan.model.settings import Settings
from crewplan.model.units import WORDS, convert
from crewplan.model.weather_table import NO_TIME_S, VALUE_COLUMNS, WeatherPlace, WeatherTable
from crewplan.model.work_rows import Factor, Rate, Step

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
"""A Sunday evening in Chicago."""
DEFAULTS = Path(__file__).parents[1] / "crewplan" / "intake" / "defaults"


def settings(**changes: Any) -> Settings:
    """A branch in Chicago's time zone, without holidays."""
    values = {"name": "Test", "timezone": "America/Chicago", "latitude": 46.8, "longitude": -92.1}
    return Settings(**(values | changes))


def weather(rows: Sequence[dict[str, Any]] = ()) -> WeatherTable:
    """A weather table; rows have valid_at, member, issued_at, hours, place and values."""
    places = tuple(dict.fromkeys(row.get("place", "") for row in rows))
    members = tuple(dict.fromkeys(str(row.get("member", "0")) for row in rows))
    where = {
        row.get("place", ""): (row.get("latitude", np.nan), row.get("longitude", np.nan))
        for row in reversed(rows)
    }

    def seconds(key: str) -> Any:
        times = [row.get(key) for row in rows]
        stamps = [NO_TIME_S if at is None else int(at.timestamp()) for at in times]
        return np.array(stamps, dtype=np.int64)

    def numbers(key: str, default: float) -> Any:
        values = [row.get(key) for row in rows]
        return np.array([default if v is None else v for v in values], dtype=np.float64)

    return WeatherTable(
        tuple(WeatherPlace(place, *where[place]) for place in places),
        members,
        np.array([places.index(row.get("place", "")) for row in rows], dtype=np.int64),
        np.array([members.index(str(row.get("member", "0"))) for row in rows], dtype=np.int64),
        seconds("valid_at"),
        seconds("issued_at"),
        numbers("hours", 1.0),
        **{column: numbers(column, np.nan) for column in VALUE_COLUMNS},
    )


def job(name: str = "J1", **changes: Any) -> Job:
    """A one-storey job that may start at once."""
    values = {
        "job": name,
        "latitude": 46.8,
        "longitude": -92.1,
        "earliest_on": date(2026, 5, 4),
        "due_on": date(2026, 5, 15),
    }
    return Job(**(values | changes))


def stage(name: str = "S1", **changes: Any) -> Stage:
    """A roof stage of job J1."""
    return Stage(**({"stage": name, "job": "J1", "kind": "roof"} | changes))


def plane(name: str = "south", **changes: Any) -> Plane:
    """Three rows of 400 W modules on a walkable shingle roof with rafters every 24 in."""
    values = {
        "job": "J1",
        "plane": name,
        "rows": (7, 7, 5),
        "module": "M400",
        "pitch_deg": 18.0,
        "covering": "shingle",
        "rafter_spacing_mm": 610.0,
    }
    return Plane(**(values | changes))


def module(name: str = "M400", **changes: Any) -> Module:
    """A module of 1,134 x 1,722 mm and 400 W."""
    values = {"width_mm": 1134.0, "height_mm": 1722.0, "mass_kg": 21.5, "power_w": 400.0}
    return Module(name, **(values | changes))


def racking(name: str = "rail", **changes: Any) -> Racking:
    """A rail that spans two rafter spaces of 610 mm."""
    values = {
        "gap_mm": 6.35,
        "overhang_mm": 38.1,
        "max_span_mm": 1220.0,
        "cantilever_mm": 406.0,
        "rail_mm": 4267.0,
    }
    return Racking(name, **(values | changes))


@cache
def package_rows(table: str) -> tuple[Any, ...]:
    """Rows that come with the package: steps, rates, factors, modules or racking."""
    row_type = {
        "steps": Step,
        "rates": Rate,
        "factors": Factor,
        "modules": Module,
        "racking": Racking,
    }[table]
    text = {field.name for field in fields(row_type) if "float" not in str(field.type)}
    rows = []
    with (DEFAULTS / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        for cells in csv.DictReader(file):
            values: dict[str, Any] = {k: v if k in text else float(v) for k, v in cells.items()}
            if row_type is Step:
                values["after"] = tuple(filter(None, cells["after"].split(";")))
                values["min_people"] = int(cells["min_people"])
                values["again"] = cells["again"] == "yes"
            rows.append(row_type(**values))
    return tuple(rows)


@cache
def package_limits() -> tuple[Limit, ...]:
    """The package's own limits, converted as intake does."""
    limits = []
    with (DEFAULTS / "limits.csv").open(encoding="utf-8", newline="") as file:
        for cells in csv.DictReader(file):
            inside = CANONICAL_UNIT[cells["measure"]].lower()
            value = float(cells["at_most"])
            if cells["unit"]:
                value = convert(value, WORDS[cells["unit"].lower()], WORDS[inside])
            height_m = float(cells["height_m"]) if cells["height_m"] else None
            limits.append(Limit(**(cells | {"at_most": value, "height_m": height_m})))
    return tuple(limits)


def branch(**tables: Any) -> Branch:
    """A branch with one job of one plane and one roof stage, and the package's rows.

    `present` lists the tables that the folder has: those given here, and those that must be there.
    """
    required = {"people", "crews", "jobs", "planes", "stages", "requirements", "weather"}
    values: dict[str, Any] = {
        "settings": settings(),
        "present": frozenset(required | tables.keys()),
        "people": (),
        "crews": (),
        "jobs": (job(),),
        "planes": (plane(),),
        "stages": (stage(),),
        "requirements": (),
        "weather": weather(),
        "weather_past": weather(),
        "package_limits": (),
    }
    values |= {
        table: package_rows(table) for table in ("steps", "rates", "factors", "modules", "racking")
    }
    return Branch(**(values | tables))
