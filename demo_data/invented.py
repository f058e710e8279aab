"""What all parts of the invented company share: its places, its calendar and its dice.

Every name here is made up. The coordinates only give daylight and distances.
"""

import csv
import io
import zlib
from datetime import date, timedelta

import numpy as np

SEED = 20260503
OFFSET = "-05:00"
"""Of the branch's clock on every day of these tables (daylight time)."""

FIRST_DAY = date(2026, 5, 3)
"""The Sunday on which the clock of the demo stands."""

PLACES = {"Quillmere": (46.80, -92.10), "Tamberley": (47.06, -92.24)}
AUTHORITIES = ("Quillmere Building Desk", "Tamberley Town Desk", "Ostrivane County")
UTILITIES = ("Quillmere Light", "Ostrivane Grid")

Row = dict[str, object]


def dice(part: str) -> np.random.Generator:
    """A generator of its own for each part, so that one table's change leaves the others alone."""
    return np.random.default_rng([SEED, zlib.crc32(part.encode())])


def days_from(first: date, count: int) -> list[date]:
    """`count` calendar days."""
    return [first + timedelta(days=n) for n in range(count)]


def workdays_between(first: date, last: date) -> list[date]:
    """Mondays to Fridays, both ends included (no public holiday lies in these tables)."""
    return [day for day in days_from(first, (last - first).days + 1) if day.weekday() < 5]


def csv_bytes(columns: tuple[str, ...], rows: list[Row]) -> bytes:
    """One table as UTF-8 with a header; a row may leave columns out, never add one."""
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()
