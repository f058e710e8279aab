"""Kept answers through a feed to the gate: the way that `crewplan weather` goes."""

from datetime import UTC, datetime, time, timedelta
from typing import Any

import numpy as np
from builders import branch, package_limits, settings
from feed_server import BASE, kept

from crewplan.intake.feeds import Answer, FeedPlace, Question, feed_table
from crewplan.intake.feeds.feed import Feed, FeedFault, NotThere
from crewplan.weather import Site, day_verdicts

PLACE = FeedPlace("here", 46.8, -92.1)
DAY = (BASE + timedelta(days=1)).date()
"""4 May 2026: the shift from 7 to 16 h in Chicago is 15 to 24 h after the answers were made."""
GRID_PATH = "/gridpoints/DLH/94,69"
ENSEMBLE = "/v1/ensemble"
RUNS = "/data/ncep_gefs025/static/meta.json"


def grid_answers(grid: Any = "grid_calm", alerts: Any = "alerts_none") -> dict[str, Any]:
    """By path; a name stands for a kept answer, None for no answer."""
    return {"/points/46.8,-92.1": "points", GRID_PATH: grid, "/alerts/active": alerts}


def ensemble_answers(told: Any = "ensemble_calm", runs: Any = "ensemble_runs") -> dict[str, Any]:
    return {ENSEMBLE: told, RUNS: runs}


def asked_of(answers: dict[str, Any], as_of: datetime = BASE):
    """A feed's way to ask that gives these answers."""
    import json

    def ask(question: Question) -> Answer:
        told = answers.get(question.path, NotThere)
        if told is NotThere:
            raise NotThere("it has none")
        if told is None:
            raise FeedFault("no connection")
        body = kept(told) if isinstance(told, str) else told
        return Answer(body if isinstance(body, bytes) else json.dumps(body).encode(), as_of)

    return ask


def verdicts_of(feed: Feed, answers: dict[str, Any], *, now: datetime = BASE, day=DAY, **own: Any):
    """Words of the gate by exposure, with the sentences that the feed told."""
    fetched = feed.forecast(PLACE, asked_of(answers))
    table, warnings = feed_table(fetched.rows)
    held = branch(
        weather=table,
        package_limits=package_limits(),
        settings=settings(**({"shift_start": time(7)} | own)),
    )
    found = day_verdicts(held, day, now, site=Site(PLACE.latitude, PLACE.longitude))
    return {one.exposure: one for one in found}, (*fetched.told, *warnings)


def words_of(feed: Feed, answers: dict[str, Any], **more: Any) -> dict[str, str]:
    found, _ = verdicts_of(feed, answers, **more)
    return {exposure: one.verdict for exposure, one in found.items()}


def column(rows, name: str):
    """[n] values of a row's field; NaN where empty."""
    values = [getattr(row, name) for row in rows]
    return np.array([np.nan if value is None else value for value in values])


def hour_of(rows, hours_after: float):
    """The rows that touch the hour so long after the answers were made."""
    start = BASE.astimezone(UTC) + timedelta(hours=hours_after)
    return [
        row
        for row in rows
        if row.valid_at < start + timedelta(hours=1)
        and row.valid_at + timedelta(hours=row.hours) > start
    ]
