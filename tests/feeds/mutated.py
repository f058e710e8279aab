"""Answers of feeds damaged at random: what a bad line, proxy or release of theirs might send."""

import json
from copy import deepcopy
from datetime import timedelta
from typing import Any

import numpy as np
from builders import branch, package_limits, settings
from feed_cases import DAY, ENSEMBLE, GRID_PATH, PLACE, asked_of
from feed_server import BASE, kept

from crewplan.intake.feeds import FeedFault, feed_table
from crewplan.intake.feeds.ensemble import EnsembleFeed
from crewplan.intake.feeds.feed import Feed
from crewplan.intake.feeds.grid import GridFeed
from crewplan.weather import Site, day_verdicts

WINDY_H = range(13, 19)
"""Hours after the answers were made in which it blows; the shift begins at the 15th."""
MEMBERS = 10
_ODD: tuple[Any, ...] = (
    None,
    True,
    "",
    "x",
    "2026-05-04T99:00:00Z",
    "/PT1H",
    [],
    {},
    -1,
    0,
    1e308,
    10**400,
    float("nan"),
    float("inf"),
    [[[[[]]]]],
)


def windy_grid() -> Any:
    """72 km/h with gusts of 97 in the windy hours, calm before and after."""
    told = kept("grid_calm")
    for at, entry in enumerate(told["properties"]["windSpeed"]["values"]):
        entry["value"] = 72.0 if at in WINDY_H else entry["value"]
    for at, entry in enumerate(told["properties"]["windGust"]["values"]):
        entry["value"] = 97.2 if at in WINDY_H else entry["value"]
    return told


def windy_ensemble() -> Any:
    """Every member blows at 20 m/s with gusts of 27 in the windy hours."""
    told = kept("ensemble_calm")
    columns = {
        name: values
        for name, values in told["hourly"].items()
        if "member" not in name or int(name[-2:]) < MEMBERS
    }
    for name, values in columns.items():
        high = {"wind_speed": 20.0, "wind_gusts": 27.0}.get("_".join(name.split("_")[:2]))
        if high is not None:
            columns[name] = [
                high if at in WINDY_H or at - 1 in WINDY_H else one for at, one in enumerate(values)
            ]
    told["hourly"] = columns
    return told


def _spots(value: Any, holder: Any = None, key: Any = None) -> list[tuple[Any, Any]]:
    """Every place in an answer, as what holds it and its key."""
    found = [(holder, key)] if holder is not None else []
    if isinstance(value, dict):
        for name, one in value.items():
            found += _spots(one, value, name)
    elif isinstance(value, list):
        for at, one in enumerate(value):
            found += _spots(one, value, at)
    return found


def _hurt(value: Any, rng: np.random.Generator) -> None:
    """One thing in an answer gone, doubled, wrapped or turned into something odd."""
    spots = _spots(value)
    if not spots:
        return
    # containers are few and values many: half of the blows go to what lies near the top
    nearer = spots[: max(1, len(spots) // 40)] if rng.random() < 0.3 else spots
    holder, key = nearer[int(rng.integers(len(nearer)))]
    how = rng.choice(["odd", "odd", "gone", "doubled", "wrapped", "as text"])
    if how == "gone":
        del holder[key]
    elif how == "doubled" and isinstance(holder, list):
        holder.insert(key, deepcopy(holder[key]))
    elif how == "wrapped":
        holder[key] = [holder[key]]
    elif how == "as text":
        holder[key] = str(holder[key])
    else:
        holder[key] = deepcopy(_ODD[int(rng.integers(len(_ODD)))])


def _garbled(body: bytes, rng: np.random.Generator) -> bytes:
    """Bytes cut, changed, doubled or not the answer at all."""
    at, to = sorted(int(one) for one in rng.integers(0, len(body), 2))
    how = rng.integers(6)
    if how == 0:
        return body[:at]
    if how == 1:
        return body[:at] + bytes([int(rng.integers(256))]) + body[at + 1 :]
    if how == 2:
        return body[:to] + body[at:]
    if how == 3:
        return body[:at] + body[to:]
    if how == 4:
        return bytes(rng.integers(0, 256, 64, dtype=np.uint8))
    return b"[" * 100_000


def damaged(value: Any, rng: np.random.Generator) -> bytes:
    """An answer with one to three things wrong."""
    hurt = deepcopy(value)
    if rng.random() < 0.3:
        return _garbled(json.dumps(hurt).encode(), rng)
    for _ in range(int(rng.integers(1, 4))):
        _hurt(hurt, rng)
    return json.dumps(hurt).encode()


def _feeds() -> tuple[tuple[Feed, dict[str, Any]], ...]:
    grid = {
        "/points/46.8,-92.1": kept("points"),
        GRID_PATH: windy_grid(),
        "/alerts/active": kept("alerts_wind"),
    }
    runs = "/data/m/static/meta.json"
    ensemble = {ENSEMBLE: windy_ensemble(), runs: kept("ensemble_runs")}
    return (
        (GridFeed(), grid),
        (EnsembleFeed("https://e.example.com", "m", members=MEMBERS), ensemble),
    )


def mutate_and_gate(count: int, seed: int) -> dict[str, int]:
    """Damage answers, gate what comes of them, and count how it ends.

    An end is the sentence of a fault, or verdicts; `go while it blows` must stay 0. An error that
    is not a `FeedFault` is raised on.
    """
    rng = np.random.default_rng(seed)
    blows = {BASE + timedelta(hours=at) for at in WINDY_H}
    counted = dict.fromkeys(
        (
            "a sentence, nothing written",
            "unknown or no-go",
            "go in calm hours",
            "go while it blows",
        ),
        0,
    )
    feeds = _feeds()
    for number in range(count):
        feed, answers = feeds[number % 2]
        which = list(answers)[int(rng.integers(len(answers)))] if rng.random() < 0.4 else None
        hit = which or (GRID_PATH if number % 2 == 0 else ENSEMBLE)
        spoiled = answers | {hit: damaged(answers[hit], rng)}
        try:
            table, _ = feed_table(feed.forecast(PLACE, asked_of(spoiled)).rows)
        except FeedFault:
            counted["a sentence, nothing written"] += 1
            continue
        held = branch(weather=table, package_limits=package_limits(), settings=settings())
        found = day_verdicts(held, DAY, BASE, site=Site(PLACE.latitude, PLACE.longitude))
        goes = {
            hour.hour
            for one in found
            if one.exposure != "ground"
            for hour in one.hours
            if hour.verdict == "go"
        }
        if goes & blows:
            counted["go while it blows"] += 1
        else:
            counted["go in calm hours" if goes else "unknown or no-go"] += 1
    return counted
