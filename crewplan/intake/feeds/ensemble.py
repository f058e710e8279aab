"""An open ensemble interface: hourly arrays by member, as JSON.

Form of the answers: the documentation of Open-Meteo's ensemble interface and of its model updates.
Means, temperatures and humidity hold at the label; rain and gusts are of the hour before it.
"""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import pairwise
from typing import Any

from crewplan.intake.feeds.feed import Ask, FeedFault, FeedPlace, Fetched, Question
from crewplan.intake.feeds.json_parts import HOUR_S, instant, items, number, parsed, part, text
from crewplan.model.units import WORDS, convert
from crewplan.model.weather_table import WeatherRow

FREE_HOST = "https://ensemble-api.open-meteo.com"

MEMBERS: dict[str, int] = {
    "ncep_gefs_seamless": 31,
    "ncep_gefs025": 31,
    "ncep_gefs05": 31,
    "ecmwf_ifs025_ensemble": 51,
    "icon_global_eps": 40,
    "icon_eu_eps": 40,
    "gem_global_ensemble": 21,
    "ukmo_global_ensemble_20km": 18,
}
"""How many members a whole forecast of a model has, so that a missing one is noticed."""

DAYS = 10
GUST_STEP_S = 3 * HOUR_S
"""Gusts of ensembles are made for three hours, labelled by their end, and filled between."""

SETTLED_S = 600
"""After a run becomes available, servers may answer from the one before for so long."""

_VARIABLES: dict[str, tuple[str, str]] = {
    "wind": ("wind_speed_10m", "mps"),
    "gust": ("wind_gusts_10m", "mps"),
    "rain": ("precipitation", "mm"),
    "temperature": ("temperature_2m", "c"),
    "humidity": ("relative_humidity_2m", "pct"),
    "code": ("weather_code", ""),
}
_UNITS = {"mp/h": "mph", "kn": "kt", "%": "pct"}
"""Unit words of the answers that `WORDS` has not."""
_CODES = "wmo code"
_MOST_CODE = 99
_THUNDER_FROM = 95
"""WMO code table 4677: 95 to 99 are thunderstorms."""
_MEMBER = re.compile(r"_member(\d{2,3})")


@dataclass(frozen=True, slots=True)
class EnsembleFeed:
    """One model of an open ensemble interface."""

    host: str
    model: str
    key: str = ""
    members: int = 0
    """How many a whole forecast has, where `MEMBERS` does not know the model."""

    @property
    def terms(self) -> tuple[str, ...]:
        """Attribution; and that the free host is not for a company's work."""
        credit = "Weather data by Open-Meteo.com (CC BY 4.0)"
        if self.host.rstrip("/") != FREE_HOST:
            return (credit,)
        free = f"the host {FREE_HOST} is free for non-commercial use only: a company needs its own"
        return (credit, free)

    def forecast(self, place: FeedPlace, ask: Ask) -> Fetched:
        """See `Feed`; the issue is the start of the model's run."""
        told = []
        issued = None
        try:
            issued = self._issued(ask)
        except FeedFault as fault:
            told.append(f"when the forecast was made is not known ({fault}), so its hours are not")
        answer = ask(Question("/v1/ensemble", self._parameters(place)))
        if answer.stale:
            told.append(
                "no answer: the forecast of "
                f"{answer.as_of:%Y-%m-%d %H:%M} UTC is taken in its place"
            )
            # a run that began after the kept answer was given is not in it
            if issued is not None and issued > answer.as_of:
                issued = None
        body = parsed(answer.body)
        members = _members(body)
        whole = max(self.members, MEMBERS.get(self.model, 0))
        if len(members) < whole:
            told.append(
                f"{whole - len(members)} of {whole} members are missing, and count as unknown"
            )
        names = sorted({*members, *(f"{at:02}" for at in range(whole))})
        rows = tuple(
            row
            for name in names
            for row in _rows(_times(body), members.get(name, {}), name, issued, place)
        )
        return Fetched(rows, tuple(told))

    def _parameters(self, place: FeedPlace) -> Mapping[str, str]:
        asked = {
            "latitude": f"{place.latitude:.4f}",
            "longitude": f"{place.longitude:.4f}",
            "hourly": ",".join(name for name, _ in _VARIABLES.values()),
            "models": self.model,
            "forecast_days": str(DAYS),
            "wind_speed_unit": "ms",
            "timeformat": "unixtime",
            "timezone": "GMT",
        }
        return {**asked, "apikey": self.key} if self.key else asked

    def _issued(self, ask: Ask) -> datetime:
        """Start of the newest run, or of that before where servers may not have the newest yet."""
        answer = ask(Question(f"/data/{self.model}/static/meta.json"))
        told = parsed(answer.body)
        began = number(part(told, "last_run_initialisation_time"))
        there = number(part(told, "last_run_availability_time"))
        every = number(part(told, "update_interval_seconds"))
        if math.isnan(began + there + every) or every <= 0 or not began <= there:
            raise FeedFault("the answer on the model's runs names none")
        if answer.as_of.timestamp() - there < SETTLED_S:
            began -= every
        try:
            return datetime.fromtimestamp(int(began), UTC)
        except (ValueError, OverflowError, OSError):
            raise FeedFault("the answer on the model's runs names none") from None


Arrays = dict[str, list[float]]
"""By value, one number an hour of the answer; NaN where none is told."""


def _times(body: Any) -> list[int]:
    """Labels in seconds since 1970-01-01 UTC.

    Texts are local by the answer's one offset, which it keeps across a change of clocks.

    Raises:
        FeedFault: where any is none, or they do not go up.
    """
    told = items(part(body, "hourly", "time"))
    offset = number(part(body, "utc_offset_seconds"))
    labels = []
    for one in told:
        at = number(one)
        if math.isnan(at) and not math.isnan(offset):
            at = _local_s(text(one)) - offset
        labels.append(at)
    if not labels or any(math.isnan(at) or not 0 <= at < 2**40 for at in labels):
        raise FeedFault("the forecast has no times that can be read")
    whole = [int(at) for at in labels]
    if any(later <= earlier for earlier, later in pairwise(whole)):
        raise FeedFault("the forecast's times are not in order")
    return whole


def _local_s(label: str) -> float:
    try:
        found = datetime.fromisoformat(label)
    except ValueError:
        return math.nan
    if found.tzinfo is not None:
        return math.nan
    return found.replace(tzinfo=UTC).timestamp()


def _reader(name: str, unit: str) -> tuple[str, str] | None:
    """Unit suffixes from and to; None where the answer's unit is not understood."""
    to = dict(_VARIABLES.values())[name]
    if not to:
        return ("", "") if unit == _CODES else None
    source = WORDS.get(unit.lower(), _UNITS.get(unit, ""))
    try:
        convert(0.0, source, to)
    except (ValueError, KeyError):
        return None
    return source, to


def _members(body: Any) -> dict[str, Arrays]:
    """Values by member; the one without a number is the control run, 00."""
    hourly, units = part(body, "hourly"), part(body, "hourly_units")
    if not isinstance(hourly, dict):
        raise FeedFault("the answer has no hourly values")
    hours = len(items(hourly.get("time")))
    found: dict[str, Arrays] = {}
    for value, (name, _) in _VARIABLES.items():
        for column, told in hourly.items():
            numbered = _MEMBER.fullmatch(column.removeprefix(name))
            if not column.startswith(name) or (column != name and numbered is None):
                continue
            how = _reader(name, text(part(units, column)))
            if how is None or not isinstance(told, list) or len(told) != hours:
                continue
            member = numbered[1] if numbered is not None else "00"
            source, to = how
            found.setdefault(member, {})[value] = [
                number(one) if not to else convert(number(one), source, to) for one in told
            ]
    return found


def _storm(code: float) -> float:
    if math.isnan(code) or not 0 <= code <= _MOST_CODE:
        return math.nan
    return float(code >= _THUNDER_FROM)


def _rows(
    times: Sequence[int],
    told: Arrays,
    member: str,
    issued: datetime | None,
    place: FeedPlace,
) -> Iterator[WeatherRow]:
    """Two rows of half an hour for each hour between two labels.

    What holds at a label holds for the half hour on either side of it; rain and gust of an hour
    stand at its end. Where labels are not an hour apart, the hour is unknown.
    """
    nothing = [math.nan] * len(times)
    at_label = {name: told.get(name, nothing) for name in _VARIABLES}
    index = {label: at for at, label in enumerate(times)}
    storm = [_storm(code) for code in at_label["code"]]
    for at, (start, end) in enumerate(pairwise(times)):
        if end - start != HOUR_S:
            continue
        gust = _gust(at_label["gust"], index, end)
        for half in (0, 1):
            yield WeatherRow(
                instant(start + half * HOUR_S // 2),
                member,
                issued,
                0.5,
                _or_none(at_label["wind"][at + half]),
                gust,
                _or_none(at_label["rain"][at + 1] / 2),
                _or_none(at_label["temperature"][at + half]),
                _or_none(at_label["humidity"][at + half]),
                _or_none(storm[at + half]),
                place.name,
                place.latitude,
                place.longitude,
            )


def _gust(gusts: Sequence[float], index: Mapping[int, int], label: int) -> float | None:
    """The gust of the hour before a label: its own, or that of its three hours where higher."""
    step_end = -(-label // GUST_STEP_S) * GUST_STEP_S
    both = [gusts[index[at]] if at in index else math.nan for at in (label, step_end)]
    return None if any(math.isnan(one) for one in both) else max(both)


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else value
