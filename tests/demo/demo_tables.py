"""The demo's tables as plain rows of words, read by the standard library alone."""

import csv
import re
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).resolve().parents[2] / "demo_data"
HORIZON = [f"2026-05-{day:02}" for day in (4, 5, 6, 7, 8, 11, 12, 13, 14, 15)]
"""The ten working days from the Monday after the demo's clock."""


@cache
def rows(table: str) -> tuple[dict[str, str], ...]:
    """All rows of a table."""
    with (FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def by_key(table: str, key: str) -> dict[str, dict[str, str]]:
    """Rows by the value of a column that is unique."""
    return {row[key]: row for row in rows(table)}


def readme() -> str:
    """The folder's README."""
    return (FOLDER / "README.md").read_text(encoding="utf-8")


@cache
def troubles() -> dict[str, tuple[str, list[str]]]:
    """Table and row names of each trouble that the README lists."""
    lines = re.findall(r"^\| ([^|]+) \| (\w+) \| ([^|]*) \|$", readme(), flags=re.MULTILINE)
    return {
        trouble: (table, [name.strip() for name in names.split(",")])
        for trouble, table, names in lines
        if trouble != "trouble"
    }


def names(trouble: str) -> list[str]:
    """Row names of one trouble."""
    return troubles()[trouble][1]
