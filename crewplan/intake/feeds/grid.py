"""The US public forecast grid with its alerts: one forecast, so one member.

Form of the answers: the documentation of api.weather.gov (GeoJSON; ISO 8601 intervals).
"""

import math
import re
from dataclasses import dataclass
from typing import Any

from crewplan.intake.feeds.alerts import Alert, alerts_in, raised
from crewplan.intake.feeds.feed import (
    Answer,
    Ask,
    FeedFault,
    FeedPlace,
    Fetched,
    NotThere,
    Question,
)
from crewplan.intake.feeds.json_parts import (
    HOUR_S,
    instant,
    instant_s,
    items,
    number,
    parsed,
    part,
    span,
    text,
)
from crewplan.intake.feeds.layers import Layer, Overlap, entries, measured, stretches, value_in
from crewplan.model.weather_table import WeatherRow

_DAY_S = 86_400
_OFFICE = re.compile(r"[A-Z]{3}")
_MOST_CELLS = 1_000
_BESIDE_DEG = 0.05
"""How far outside its cell's corners a place may lie: corners are rounded, cells are 2.5 km."""

_LAYERS: dict[str, tuple[str, str, Overlap]] = {
    "wind": ("windSpeed", "mps", "highest"),
    "gust": ("windGust", "mps", "highest"),
    "rain": ("quantitativePrecipitation", "mm", "highest"),
    "temperature": ("temperature", "c", "unknown"),
    "humidity": ("relativeHumidity", "pct", "highest"),
    "chance": ("probabilityOfThunder", "pct", "highest"),
}
"""Layer of the grid, unit taken, and what holds where intervals disagree."""
_WEATHER = frozenset(
    {
        "blowing_dust",
        "blowing_sand",
        "blowing_snow",
        "drizzle",
        "fog",
        "freezing_drizzle",
        "freezing_fog",
        "freezing_rain",
        "freezing_spray",
        "frost",
        "hail",
        "haze",
        "ice_crystals",
        "ice_fog",
        "rain",
        "rain_showers",
        "sleet",
        "smoke",
        "snow",
        "snow_showers",
        "thunderstorms",
        "volcanic_ash",
        "water_spouts",
    }
)
"""Words of the weather layer; an interval with any other is unknown."""


@dataclass(frozen=True, slots=True)
class GridFeed:
    """The public grid."""

    @property
    def terms(self) -> tuple[str, ...]:
        """Public domain."""
        return ("forecast and alerts: US National Weather Service",)

    def forecast(self, place: FeedPlace, ask: Ask) -> Fetched:
        """See `Feed`; without an answer on alerts, thunder is unknown throughout."""
        answer, grid = _grid(place, ask)
        told = [_kept(answer, "forecast")] if answer.stale else []
        alerts: tuple[Alert, ...] | None
        point = {"point": _point(place)}
        try:
            said = ask(Question("/alerts/active", point, kept_for_s=60.0))
            alerts, as_of_s = alerts_in(parsed(said.body)), int(said.as_of.timestamp())
            told += [_kept(said, "list of public alerts")] if said.stale else []
            told += [one.sentence for one in alerts]
        except FeedFault as fault:
            alerts, as_of_s = None, None
            told.append(f"public alerts are not known ({fault}), so thunder is unknown")
        return Fetched(_rows(grid, alerts, as_of_s, place), tuple(told))


def _kept(answer: Answer, what: str) -> str:
    return f"no answer: the {what} of {answer.as_of:%Y-%m-%d %H:%M} UTC is taken in its place"


def _point(place: FeedPlace) -> str:
    """At most four decimals, without zeros at the end: else the server sends us on."""
    north, east = (f"{at:.4f}".rstrip("0").rstrip(".") for at in (place.latitude, place.longitude))
    return f"{north},{east}"


def _cell(place: FeedPlace, ask: Ask, kept_for_s: float) -> str:
    """Path of the grid's answer for a place, built here: no address that is told is followed."""
    told = parsed(ask(Question(f"/points/{_point(place)}", kept_for_s=kept_for_s)).body)
    office = text(part(told, "properties", "gridId"))
    cell = [number(part(told, "properties", name)) for name in ("gridX", "gridY")]
    if not _OFFICE.fullmatch(office) or not all(0 <= at < _MOST_CELLS for at in cell):
        raise FeedFault("the answer names no cell of the grid for this place")
    return f"/gridpoints/{office}/{cell[0]:.0f},{cell[1]:.0f}"


def _holds(grid: Any, place: FeedPlace) -> bool:
    """Whether a cell's corners lie around a place; a cell that tells none is not trusted."""
    rings = items(part(grid, "geometry", "coordinates"))
    corners = [
        (number(corner[0]), number(corner[1]))
        for ring in rings
        for corner in items(ring)
        if isinstance(corner, list) and len(corner) == 2
    ]
    if not corners or any(math.isnan(at) for corner in corners for at in corner):
        return False
    east, north = zip(*corners, strict=True)
    return bool(
        min(east) - _BESIDE_DEG <= place.longitude <= max(east) + _BESIDE_DEG
        and min(north) - _BESIDE_DEG <= place.latitude <= max(north) + _BESIDE_DEG
    )


def _grid(place: FeedPlace, ask: Ask) -> tuple[Answer, Any]:
    """The forecast of the cell that holds the place; the cell is looked up again if it does not."""
    for kept_for_s in (_DAY_S, 0.0):
        try:
            answer = ask(Question(_cell(place, ask, kept_for_s)))
        except NotThere:
            continue
        grid = parsed(answer.body)
        if _holds(grid, place):
            return answer, grid
    raise FeedFault("the grid has no cell for this place, also after looking it up again")


def _is_kind(kind: Any) -> bool:
    """Whether one kind of weather is told in words that are known; no weather has no coverage."""
    if not isinstance(kind, dict) or "weather" not in kind or "coverage" not in kind:
        return False
    word = kind["weather"]
    if word is None:
        return bool(kind["coverage"] is None)
    return text(word) in _WEATHER


def _storms(told: Any) -> Layer:
    """1 where any of an interval's weather is a thunderstorm, else 0; however unlikely it is."""
    found = []
    for entry in entries(told):
        when, kinds = span(part(entry, "validTime")), items(part(entry, "value"))
        if when is not None and kinds and all(_is_kind(kind) for kind in kinds):
            storm = any(kind["weather"] == "thunderstorms" for kind in kinds)
            found.append((*when, float(storm)))
    return Layer(tuple(found))


def _rows(
    grid: Any, alerts: tuple[Alert, ...] | None, alerts_s: int | None, place: FeedPlace
) -> tuple[WeatherRow, ...]:
    """A row for each stretch; rain is the total of its interval, whole in each of its rows.

    The grid does not say in which of its hours the rain falls.
    """
    told = part(grid, "properties")
    updated = instant_s(part(told, "updateTime"))
    if updated is None:
        raise FeedFault("the forecast does not say when it was made")
    layers = {name: measured(part(told, layer), unit) for name, (layer, unit, _) in _LAYERS.items()}
    layers["storms"] = _storms(part(told, "weather"))
    known = alerts or ()
    issued = instant(min(updated, alerts_s if alerts_s is not None else updated))
    rows = []
    for start, end in stretches(layers, [one.span for one in known], updated - _DAY_S):
        value = {
            name: value_in(layers[name], start, end, overlap)
            for name, (_, _, overlap) in _LAYERS.items()
        }
        now = [one for one in known if one.holds(start, end)]
        wind, gust = raised(now, value["wind"], value["gust"])
        storm = value_in(layers["storms"], start, end, "highest")
        if alerts is None:
            storm = math.nan
        elif not math.isnan(storm):
            chance = 0.0 if math.isnan(value["chance"]) else value["chance"] / 100
            storm = max(storm, chance, float(any(one.thunder for one in now)))
        elif any(one.thunder for one in now):
            storm = 1.0
        rows.append(
            WeatherRow(
                instant(start),
                "0",
                issued,
                (end - start) / HOUR_S,
                _or_none(wind),
                _or_none(gust),
                _or_none(value["rain"]),
                _or_none(value["temperature"]),
                _or_none(value["humidity"]),
                _or_none(storm),
                place.name,
                place.latitude,
                place.longitude,
            )
        )
    if not rows:
        raise FeedFault("the forecast has no hour with any value")
    return tuple(rows)


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else value
