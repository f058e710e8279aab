"""Weather that cannot be: it becomes unknown, and one sentence for each kind says so."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crewplan.intake.faults import Report
from crewplan.intake.weather_cells import TextTable

_WIND = ("wind_mps", "gust_mps")
_HIGHEST_WIND_MPS = 60.0
_HIGHEST_HUMIDITY_PCT = 100.0
_TEMPERATURES_C = (-90.0, 60.0)
"""Just beyond the extremes on record at stations: -89.2 and 56.7 degC (WMO). From memory."""
_ROUNDING_MPS = 1852 / 3600 + 1e-6
"""A gust may lie below its mean by one knot: each may be rounded to whole knots by half of one.
Whole miles an hour (0.447 m/s) and whole m/s on one side (0.5 m/s) lie within it."""
_GUST_OVER_MEAN = 4.0
_MEAN_FOR_RATIO_MPS = 5.0
"""Below this mean, gusts of many times the mean are ordinary."""

Numbers = Mapping[str, NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class _Kind:
    """One kind of impossible value, and the columns that become unknown in its rows."""

    words: str
    rows: Callable[[Numbers], NDArray[np.bool_]]
    unknown: tuple[str, ...]


def _outside(column: str, low: float, high: float) -> Callable[[Numbers], Any]:
    return lambda n: (n[column] < low) | (n[column] > high)


KINDS: tuple[_Kind, ...] = (
    _Kind(
        f"a mean wind below 0 or over {_HIGHEST_WIND_MPS:g} m/s",
        _outside("wind_mps", 0, _HIGHEST_WIND_MPS),
        _WIND,
    ),
    _Kind(
        f"a gust below 0 or over {_HIGHEST_WIND_MPS:g} m/s",
        _outside("gust_mps", 0, _HIGHEST_WIND_MPS),
        _WIND,
    ),
    _Kind(
        "a gust below the mean wind by more than rounding",
        lambda n: n["gust_mps"] < n["wind_mps"] - _ROUNDING_MPS,
        _WIND,
    ),
    _Kind(
        f"a gust over {_GUST_OVER_MEAN:g} times a mean wind above {_MEAN_FOR_RATIO_MPS:g} m/s",
        lambda n: (
            (n["wind_mps"] > _MEAN_FOR_RATIO_MPS)
            & (n["gust_mps"] > _GUST_OVER_MEAN * n["wind_mps"])
        ),
        _WIND,
    ),
    # a row that is wrong here is not trusted for wind either
    _Kind(
        f"a humidity below 0 or over {_HIGHEST_HUMIDITY_PCT:g} %",
        _outside("humidity_pct", 0, _HIGHEST_HUMIDITY_PCT),
        ("humidity_pct", *_WIND),
    ),
    _Kind("a rain below 0 mm", _outside("rain_mm", 0, np.inf), ("rain_mm",)),
    _Kind("a thunder below 0", _outside("thunder", 0, np.inf), ("thunder",)),
    _Kind(
        f"a temperature outside {_TEMPERATURES_C[0]:g} to {_TEMPERATURES_C[1]:g} degC",
        _outside("temperature_c", *_TEMPERATURES_C),
        ("temperature_c",),
    ),
)


def without_impossible(
    table: TextTable, numbers: Numbers, report: Report
) -> dict[str, NDArray[np.float64]]:
    """The same columns with NaN for what cannot be."""
    known = {name: values.copy() for name, values in numbers.items()}
    for kind in KINDS:
        at = np.flatnonzero(kind.rows(numbers))
        if not len(at):
            continue
        for column in kind.unknown:
            known[column][at] = np.nan
        first = int(table.rows[at[0]])
        rows = f"row {first}" if len(at) == 1 else f"{len(at)} rows, first in row {first}"
        names = " and ".join(column.rpartition("_")[0] or column for column in kind.unknown)
        verb = "is" if len(kind.unknown) == 1 else "are"
        taken = f"{names} {verb} taken as unknown"
        report.warn(f"{table.file}, {rows}: {kind.words} cannot be; {taken}.")
    return known
