"""Forecasts from a branch's feed into its weather table: one request a place, all or nothing."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from crewplan.intake.feeds import Ask, Feed, FeedFault, FeedPlace, feed_table
from crewplan.labour import stage_hours_all
from crewplan.model.branch import Branch
from crewplan.model.calendar import local_day
from crewplan.model.weather_table import NO_TIME_S, WeatherRow, WeatherTable
from crewplan.placing.travel import distance_km
from crewplan.takeoff import take_off_all
from crewplan.weather.grid import HOUR_S, grids_of


@dataclass(frozen=True, slots=True, eq=False)
class Fetching:
    """A forecast that was fetched, not yet written anywhere."""

    table: WeatherTable
    told: tuple[str, ...]
    """Sentences that people must see."""
    places: int
    age_h: float | None
    """Of its oldest row; None: some do not say when they were made."""


def places_of(branch: Branch, now: datetime) -> tuple[FeedPlace, ...]:
    """The branch, its crews' bases and the sites with work left, without those near another one.

    A site within `spacing_km` of a place that is asked for shares its forecast.
    """
    settings = branch.settings
    spacing_km = settings.feed.spacing_km if settings.feed is not None else 0.0
    hours = stage_hours_all(branch, take_off_all(branch), local_day(settings, now))
    open_jobs = {stage.job for stage in branch.stages if not hours[stage.stage].done}
    sites = [(settings.latitude, settings.longitude)]
    sites += [(crew.base_latitude, crew.base_longitude) for crew in branch.crews]
    sites += [(job.latitude, job.longitude) for job in branch.jobs if job.job in open_jobs]
    places: list[FeedPlace] = []
    for latitude, longitude in sites:
        north, east = round(latitude, 4), round(longitude, 4)
        if all(
            distance_km(place.latitude, place.longitude, north, east) > spacing_km
            for place in places
        ):
            places.append(FeedPlace(f"{north:.4f} {east:.4f}", north, east))
    return tuple(places)


def fetch(feed: Feed, ask: Ask, places: tuple[FeedPlace, ...], now: datetime) -> Fetching:
    """The forecast of all places as one table.

    Raises:
        FeedFault: where any place has none: a table with holes would send sites to places that
            lie farther away.
    """
    rows: list[WeatherRow] = []
    told: list[str] = []
    for place in places:
        fetched = feed.forecast(place, ask)
        rows += fetched.rows
        told += [f"{place.name}: {sentence}" for sentence in fetched.told]
    table, warnings = feed_table(rows)
    known = bool((table.issued_s != NO_TIME_S).all())
    age_h = (now.timestamp() - int(table.issued_s.min())) / HOUR_S if known else None
    return Fetching(table, tuple(dict.fromkeys((*told, *warnings))), len(places), age_h)


def refuse_older(table: WeatherTable, former: WeatherTable) -> None:
    """An older forecast never takes the place of a newer one.

    Raises:
        FeedFault: where a place's forecast was made before that which the branch has.
    """
    held = {grid.place: grid for grid in grids_of(former)}
    for grid in grids_of(table):
        other = held.get(grid.place)
        if other is not None and _newest_s(grid.issued_s) < _newest_s(other.issued_s):
            raise FeedFault(f"the forecast of {grid.place} is older than the one at hand")


def _newest_s(issued_s: NDArray[np.int64]) -> int:
    return int(issued_s.max(initial=NO_TIME_S))
