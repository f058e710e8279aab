"""The gate once more: slow, obvious, row by row. Shares no code with the one that is tested.

It takes rows as dictionaries and limits as the package writes them. Where the denominator is under
ten it takes the normal draws from the gate, and does all else itself.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from astral import Observer
from astral.sun import elevation

from crewplan.model.limit_row import Limit
from crewplan.weather.assumed_error import SIZES, draws_each, normal_draws

HOUR = timedelta(hours=1)
COLUMN = {
    "wind": "wind_mps",
    "gust": "gust_mps",
    "rain": "rain_mm",
    "wet": "rain_mm",
    "frost": "temperature_c",
    "temperature_low": "temperature_c",
    "temperature_high": "temperature_c",
    "thunder": "thunder",
}
ORDER = ("ground", "roof", "lift")
MISSING = "missing"


def stop_rows(limits: tuple[Limit, ...], exposure: str) -> list[Limit]:
    """Rows of the exposure and of those before it."""
    obeyed = ORDER[: ORDER.index(exposure) + 1]
    return [row for row in limits if row.exposure in obeyed and row.at_most is not None]


def value_in_hour(
    rows: list[dict[str, Any]], column: str, start: datetime, now: datetime, max_age_h: float
) -> tuple[list[tuple[float, float]], bool]:
    """Values and lead hours of fresh intervals that touch the hour; whether they cover it."""
    found, covered = [], timedelta(0)
    for row in rows:
        begins = row["valid_at"]
        ends = begins + row.get("hours", 1.0) * HOUR
        common = min(ends, start + HOUR) - max(begins, start)
        if common <= timedelta(0) or row[column] is None or row["issued_at"] is None:
            continue
        age = now - row["issued_at"]
        if age < timedelta(0) or age > max_age_h * HOUR:
            continue
        found.append((row[column], (begins - row["issued_at"]) / HOUR))
        covered += common
    return found, covered == HOUR


def longest_lead_h(
    rows: list[dict[str, Any]], start: datetime, now: datetime, max_age_h: float
) -> float:
    """Of all fresh intervals that touch the hour; 0 where there is none."""
    leads = [0.0]
    for row in rows:
        if (
            row["issued_at"] is None
            or not timedelta(0) <= now - row["issued_at"] <= max_age_h * HOUR
        ):
            continue
        if (
            row["valid_at"] < start + HOUR
            and row["valid_at"] + row.get("hours", 1.0) * HOUR > start
        ):
            leads.append((row["valid_at"] - row["issued_at"]) / HOUR)
    return max(leads)


def sun_is_up(site: tuple[float, float], at: datetime) -> bool:
    """By a published library; the sun's centre 0.833 degrees under the horizon at its rise."""
    return elevation(Observer(*site), at.astimezone(UTC), with_refraction=False) >= -0.833


class PlainHour:
    """One hour of one member (and one draw of the assumed error, if any) against the limits."""

    def __init__(self, rows, now, max_age_h, site, draw=None, draws=None):
        self.rows, self.now, self.max_age_h, self.site = rows, now, max_age_h, site
        self.draw, self.draws = draw, draws

    def worst(self, column: str, start: datetime, *, low: bool = False):
        """Worst known value, and whether the hour is covered; the value None where none is."""
        found, covered = value_in_hour(self.rows, column, start, self.now, self.max_age_h)
        if not found:
            return None, False
        values = [value for value, _ in found]
        worst = sum(values) if column == "rain_mm" else min(values) if low else max(values)
        return self._with_error(column, worst, start, low), covered

    def _with_error(self, column: str, value: float, start: datetime, low: bool) -> float:
        field = column.split("_")[0]
        if field == "temperature":
            field = "temperature_low" if low else "temperature_high"
        if self.draw is None or field not in SIZES:
            return value
        size = SIZES[field]
        z = max(0.0, self.draws[size.group, start][self.draw])  # in a verdict no error helps
        days = max(0.0, longest_lead_h(self.rows, start, self.now, self.max_age_h) / 24)
        sd = size.at_once + (size.a_day * min(days, 7.0) if z > 0 else 0.0)
        if low:
            return value - z * sd
        if field == "temperature_high":
            return value + z * sd
        return max(0.0, value * (1 + size.share * z) + z * sd)

    def judge(self, row: Limit, start: datetime, rain_limit_mm: float) -> str:
        """'good', 'bad' (known to break the limit) or 'missing'."""
        measure, bound = row.measure, row.at_most
        if measure == "light":
            up = sun_is_up(self.site, start) and sun_is_up(self.site, start + HOUR)
            return "good" if up else "bad"
        if measure == "thunder":
            told = [self.worst("thunder", start - lag * HOUR) for lag in (0, 1)]
            return self._word([value is not None and value > 0 for value, _ in told], told)
        if measure == "wet":
            told = [self.worst("rain_mm", start - lag * HOUR) for lag in range(int(bound) + 1)]
            least = min(0.25, rain_limit_mm)
            return self._word([value is not None and value > least for value, _ in told], told)
        low = measure in ("frost", "temperature_low")
        value, covered = self.worst(COLUMN[measure], start, low=low)
        bad = value is not None and (value < bound if low else value > bound)
        if measure == "frost":
            marks = [start + lag * HOUR for lag in (-2, -1, 0, 1)]
            bad = bad and not all(sun_is_up(self.site, mark) for mark in marks)
        return self._word([bad], [(value, covered)])

    @staticmethod
    def _word(bad, told) -> str:
        if any(bad):
            return "bad"
        return "good" if all(covered for _, covered in told) else MISSING

    def verdict(
        self, limits: tuple[Limit, ...], exposure: str, start: datetime
    ) -> tuple[bool, bool]:
        """Whether the hour is hopeful (nothing known is bad), and whether all is there."""
        rows = stop_rows(limits, exposure)
        rain = min((row.at_most for row in rows if row.measure == "rain"), default=1e9)
        words, there = [], True
        for row in rows:
            if row.effect == "stop":
                words.append(self.judge(row, start, rain))
            there = there and self._there(row, start)
        return "bad" not in words, there

    def _there(self, row: Limit, start: datetime) -> bool:
        columns = {"heat_index": ("temperature_c", "humidity_pct"), "light": ()}
        needed = columns.get(row.measure) or (
            () if row.measure == "light" else (COLUMN[row.measure],)
        )
        lags = {"thunder": 1, "wet": int(row.at_most)}.get(row.measure, 0)
        return all(
            value_in_hour(self.rows, column, start - lag * HOUR, self.now, self.max_age_h)[1]
            for column in needed
            for lag in range(lags + 1)
        )


def plain_hours(
    table: list[dict[str, Any]],
    limits: tuple[Limit, ...],
    starts: list[datetime],
    now: datetime,
    site: tuple[float, float],
    *,
    exposure: str,
    weather_members: int = 0,
    least: float = 0.9,
    max_age_h: float = 12.0,
) -> list[tuple[str, set[int], set[int], int]]:
    """For each hour: its word, rows that are good, rows that may be, and how many there are."""
    names = sorted({row["member"] for row in table})
    count = max(len(names), weather_members)
    names += [""] * (count - len(names))
    few = count < 10
    each = draws_each(count) if few else 1
    draws: dict[Any, Any] = {}
    if few:
        marks = [start - lag * HOUR for start in starts for lag in range(4)]
        for mark in marks:
            drawn = normal_draws(each, np.array([int(mark.timestamp())]))
            draws |= {(group, mark): column[:, 0] for group, column in drawn.items()}
    answers = []
    for start in starts:
        good, hopeful, known = set(), set(), True
        for member, name in enumerate(names):
            rows = [row for row in table if row["member"] == name]
            for draw in range(each):
                hour = PlainHour(rows, now, max_age_h, site, draw if few else None, draws)
                may, there = hour.verdict(limits, exposure, start)
                known = known and there
                if may:
                    hopeful.add(member * each + draw)
                if may and there:
                    good.add(member * each + draw)
        total = count * each
        if few:
            lit = PlainHour([], now, max_age_h, site).verdict(limits, exposure, start)[0]
            hopeful |= {total} if lit else set()
            total += 1
        if len(hopeful) / total < least:
            word = "no-go"
        elif not known:
            word = "unknown"
        else:
            word = "go" if len(good) / total >= least else "no-go"
        answers.append((word, good, hopeful, total))
    return answers


def plain_windows(
    answers: list[tuple[str, set[int], set[int], int]],
    spans: list[tuple[datetime, datetime]],
    *,
    least: float,
    needed_h: float,
) -> list[tuple[datetime, datetime, float]]:
    """Every run of go hours tried, the longest taken, then the earliest; again on what is left."""
    free = list(range(len(answers)))
    found = []
    while True:
        runs = []
        for first in free:
            for last in range(first, len(answers)):
                run = range(first, last + 1)
                if not all(at in free and answers[at][0] == "go" for at in run):
                    continue
                if any(spans[at][1] <= spans[at][0] for at in run):
                    continue
                rows = set.intersection(*(answers[at][1] for at in run))
                share = len(rows) / answers[first][3]
                length = spans[last][1] - spans[first][0]
                if share >= least and length >= needed_h * HOUR:
                    runs.append((-length, spans[first][0], first, last, share))
        if not runs:
            return sorted(found)
        _, start, first, last, share = min(runs)
        found.append((start, spans[last][1], share))
        free = [at for at in free if not first <= at <= last]
