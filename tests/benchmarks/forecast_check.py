"""Do the days of 50 % and 80 % hold? python tests/benchmarks/forecast_check.py [--repeats 500]

Invented authorities whose laws are drawn from one population: waits are log-normal with a spread of
0.6 in the logarithm about a median of their own, the medians spread 0.35 about 30 days (assumed).
In each repeat ten authorities, five with five past requests and five with forty, asked over two
years; what is not granted by today is censored. A request is made today with each of them. The
share in which the day told holds is counted by the true law, so that no luck of one draw is in it.
Beside it the two rules that offices use: the average of the waits that are over, and the longest.

`--drift` doubles all waits a year ago, and tells days with and without a half-life of 180 days.
"""

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import numpy as np
from scipy.special import ndtr

sys.path.insert(0, str(Path(__file__).parents[2]))

from crewplan.model.waiting_rows import LeadTime
from crewplan.readiness.dates import dates_if_asked
from crewplan.readiness.history import History

TODAY = date(2026, 5, 4)
MEDIAN_DAYS, SPREAD, AUTHORITIES_SPREAD = 30.0, 0.6, 0.35
FEW, MANY, YEARS = 5, 40, 2
FURTHEST = 730
HALF_LIFE_DAYS = 180.0

Held = dict[tuple[str, str], float]
"""By whose record it is and what was told: share of requests over by the day."""


def _records(
    rng: np.random.Generator, town: str, mu: float, count: int, drift: bool
) -> list[LeadTime]:
    asked = [TODAY - timedelta(days=int(ago)) for ago in rng.integers(1, 365 * YEARS, count)]
    rows = []
    for day in asked:
        old = drift and day < TODAY - timedelta(days=365)
        days = int(np.ceil(rng.lognormal(mu - (np.log(2) if old else 0.0), SPREAD)))
        granted = day + timedelta(days=days)
        rows.append(LeadTime("permit", day, town, granted if granted <= TODAY else None))
    return rows


def _told(history: History, town: str) -> Iterator[tuple[str, float]]:
    """Days after today that each rule names."""
    waits = history.waits("permit", town)
    assert waits is not None
    told = dates_if_asked(waits, TODAY, FURTHEST)
    for name, by_record, past in (
        ("50 %", told.half_on, told.half_past_record),
        ("80 %", told.likely_on, told.likely_past_record),
    ):
        day = by_record or past
        yield name, float((day - TODAY).days) if day else np.inf


def held(
    repeats: int, seed: int = 1, *, drift: bool = False, half_life: float | None = None
) -> Held:
    """Share of requests over by the day that each rule names, by the true law."""
    rng = np.random.default_rng(seed)
    shares: dict[tuple[str, str], list[float]] = defaultdict(list)
    for _ in range(repeats):
        laws = {
            f"T{number}": (rng.normal(np.log(MEDIAN_DAYS), AUTHORITIES_SPREAD), count)
            for number, count in enumerate([FEW] * 5 + [MANY] * 5)
        }
        rows = {town: _records(rng, town, mu, n, drift) for town, (mu, n) in laws.items()}
        history = History([r for of in rows.values() for r in of], TODAY, half_life_days=half_life)
        for town, (mu, count) in laws.items():
            waits = [(r.granted_on - r.asked_on).days for r in rows[town] if r.granted_on]
            rules = [*_told(history, town)]
            if waits:
                rules += [("average", float(np.mean(waits))), ("longest", float(max(waits)))]
            for name, days in rules:
                # waits are whole days, rounded up: over by day n is a wait of n or less
                over = ndtr((np.log(np.floor(days)) - mu) / SPREAD) if days >= 1 else 0.0
                shares[f"{count} requests", name].append(float(over))
    return {key: float(np.mean(values)) for key, values in sorted(shares.items())}


def _table(found: Held) -> str:
    lines = ["| record | told | over by that day |", "|---|---|---|"]
    lines += [f"| {who} | {what} | {share:.1%} |" for (who, what), share in found.items()]
    return "\n".join(lines)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--repeats", type=int, default=500)
    parser.add_argument("--drift", action="store_true")
    given = parser.parse_args()
    if given.drift:
        for half_life in (None, HALF_LIFE_DAYS):
            print(f"half-life: {half_life}")
            print(_table(held(given.repeats, drift=True, half_life=half_life)))
    else:
        print(_table(held(given.repeats)))
