"""Open hours of sites, for placing work: member by member, beyond the forecast by the season."""

from collections.abc import Sequence
from datetime import datetime

import numpy as np

from crewplan.model.branch import Branch
from crewplan.model.open_hours import OpenHours
from crewplan.model.work_rows import EXPOSURES
from crewplan.weather.climatology import Season, season
from crewplan.weather.forecast import Forecast, PlaceForecast, Purpose, epoch_s, forecast
from crewplan.weather.site import Spot
from crewplan.weather.site_hours import site_hours


def open_hours(
    branch: Branch,
    hour_starts: Sequence[datetime],
    now: datetime,
    latitude: float,
    longitude: float,
    *,
    purpose: Purpose,
) -> OpenHours:
    """Open hours of one site; for many sites `open_hours_all` shares the work.

    Args:
        branch: its forecast, limits and settings.
        hour_starts: [H] start of each hour, timezone-aware, distinct.
        now: the clock, timezone-aware.
        latitude: of the site, degrees.
        longitude: of the site, degrees, east positive.
        purpose: `gate` takes only what is fresh; `planning` takes forecasts of up to 48 h, and
            past weather beyond the forecast, and says so in the notes.
    """
    return open_hours_all(branch, hour_starts, now, [(latitude, longitude)], purpose=purpose)[0]


def open_hours_all(
    branch: Branch,
    hour_starts: Sequence[datetime],
    now: datetime,
    sites: Sequence[Spot],
    *,
    purpose: Purpose,
) -> list[OpenHours]:
    """Open hours of each site, in order; see `open_hours`."""
    starts_s = np.array([epoch_s(start) for start in hour_starts], dtype=np.int64)
    told = forecast(branch, starts_s, now, sites, purpose=purpose)
    seasons: list[Season | None] = [None] * len(told.places)
    if purpose == "planning":
        seasons = [season(branch, told, place, hour_starts) for place in told.places]
    return [_site(branch, told, seasons[told.place_of[at]], at) for at in range(len(sites))]


def _site(branch: Branch, told: Forecast, beyond: Season | None, site: int) -> OpenHours:
    place = told.places[told.place_of[site]]
    light, frost = told.sun.light[site], told.sun.frost[site]
    good, hopeful, known = [], [], []
    for row, exposure in enumerate(EXPOSURES):
        judged = place.judged[exposure]
        in_reach = told.in_reach(site, exposure, branch.settings.weather_reach_km)
        hours = site_hours(judged, light, frost, in_reach=in_reach)
        if beyond is not None and in_reach:
            hours = beyond.fill(hours, row, light if judged.light is not None else None)
        good.append(hours.good)
        hopeful.append(hours.hopeful)
        known.append(hours.known)
    filled = np.zeros(len(light), dtype=np.bool_) if beyond is None else beyond.hours
    return OpenHours(
        told.asked.starts_s,
        np.stack(good),
        np.stack(known),
        np.stack(hopeful),
        filled,
        place.grid.place,
        float(told.distance_km[site]),
        (*_notes(branch, told, place, site), *(beyond.notes if beyond is not None else ())),
    )


def _notes(branch: Branch, told: Forecast, place: PlaceForecast, site: int) -> list[str]:
    """What a plan must say of the forecast used."""
    settings, notes = branch.settings, []
    where = f"at {place.grid.place}" if place.grid.place else "at the branch"
    km = told.distance_km[site]
    if not np.isfinite(km):
        return ["no place of the forecast has coordinates: no hour is known"]
    if km > settings.weather_reach_km:
        notes.append(
            f"the nearest forecast ({where}) is {km:.0f} km away, more than "
            f"{settings.weather_reach_km:g} km: not known for roof and lift"
        )
    oldest_h = float(place.blocks.age_h.max(initial=0.0))
    if oldest_h > settings.weather_max_age_h:
        notes.append(
            f"the forecast {where} is {oldest_h:.0f} h old, more than the "
            f"{settings.weather_max_age_h:g} h that the gate allows: planned with wider error"
        )
    if place.record:
        notes.append(
            f"wind {where} is drawn to the month's mean and widened by this branch's own record of "
            "forecast errors"
        )
    if not any(there.any() for there in place.blocks.full.values()):
        notes.append(f"no forecast {where} is fresh enough: no hour is known")
    return notes
