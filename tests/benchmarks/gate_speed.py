"""The gate for 1,000 sites x 10 days x 31 members; prints the least of five runs.

python tests/benchmarks/gate_speed.py
"""

import sys
import time
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS.parent), str(TESTS)]

from builders import branch, package_limits  # noqa: E402

from crewplan.model.error_rows import ForecastError  # noqa: E402
from crewplan.model.weather_table import WeatherPlace, WeatherTable  # noqa: E402
from crewplan.weather import Site  # noqa: E402
from crewplan.weather.gate import verdicts  # noqa: E402

MEMBERS, DAYS, SITES, PLACES = 31, 10, 1_000, 4
FIRST = datetime(2026, 5, 4, tzinfo=ZoneInfo("America/Chicago"))


def forecast() -> WeatherTable:
    """Hourly rows of four places, windy now and then."""
    rng = np.random.default_rng(1)
    hours = 24 * (DAYS + 1)
    shape = (PLACES, MEMBERS, hours)
    start = int(FIRST.timestamp()) - 6 * 3600
    place, member, hour = (axis.reshape(-1) for axis in np.indices(shape))
    wind = rng.gamma(3.0, 1.5, shape).reshape(-1)
    n = wind.size
    return WeatherTable(
        tuple(WeatherPlace(f"P{at}", 46.7 + 0.1 * at, -92.1) for at in range(PLACES)),
        tuple(map(str, range(MEMBERS))),
        place,
        member,
        start + 3600 * hour,
        np.full(n, start),
        np.ones(n),
        wind,
        1.5 * wind,
        np.where(rng.random(n) < 0.05, 1.0, 0.0),
        np.full(n, 12.0),
        np.full(n, 60.0),
        np.zeros(n),
    )


def main() -> None:
    rng = np.random.default_rng(2)
    sites = [Site(46.7 + 0.3 * rng.random(), -92.1, f"J{at}") for at in range(SITES)]
    days = [date(2026, 5, 4) + timedelta(days=at) for at in range(DAYS)]
    table = forecast()
    record = tuple(
        ForecastError(measure, lead_h, 0.8, 2.0, 1.0, 500)
        for measure in ("wind", "gust")
        for lead_h in (24.0, 72.0, 240.0)
    )
    for words, errors in (("without a record of errors", ()), ("with one", record)):
        held = branch(weather=table, package_limits=package_limits(), forecast_errors=errors)
        took = []
        for _ in range(5):
            began = time.perf_counter()
            found = verdicts(held, days, FIRST - timedelta(hours=1), sites)
            took.append(time.perf_counter() - began)
        print(f"{len(found)} verdicts {words}: {min(took):.2f} s")


if __name__ == "__main__":
    main()
