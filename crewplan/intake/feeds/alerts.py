"""Public alerts: what each does to the hours that it holds for. None ever opens an hour.

Event names and what they mean for wind: US National Weather Service, product specifications
(instruction 10-515 for wind; from memory, and local offices may set other values).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from crewplan.intake.feeds.feed import FeedFault
from crewplan.intake.feeds.json_parts import Span, instant_s, items, part, text
from crewplan.model.units import convert

_FIRST_S, _LAST_S = 0, 2**40

_STORMS = frozenset(
    {
        "Tornado Warning",
        "Tornado Watch",
        "Severe Thunderstorm Warning",
        "Severe Thunderstorm Watch",
    }
)
"""Thunder in all of their hours."""

_WINDS_MPH: dict[str, tuple[float, float]] = {
    "Wind Advisory": (31, 46),
    "Lake Wind Advisory": (25, 35),
    "High Wind Watch": (40, 58),
    "High Wind Warning": (40, 58),
    "Tropical Storm Watch": (39, 58),
    "Tropical Storm Warning": (39, 58),
    "Hurricane Watch": (74, 96),
    "Hurricane Warning": (74, 96),
    "Extreme Wind Warning": (90, 115),
}
"""Mean and gust that are at least to be expected; raise the forecast's, never lower it."""

_NOT_OF_THE_ROOF = frozenset(
    {
        "Air Quality Alert",
        "Air Stagnation Advisory",
        "Beach Hazards Statement",
        "Coastal Flood Advisory",
        "Coastal Flood Statement",
        "Coastal Flood Warning",
        "Coastal Flood Watch",
        "Excessive Heat Warning",
        "Excessive Heat Watch",
        "Extreme Heat Warning",
        "Extreme Heat Watch",
        "Fire Weather Watch",
        "Flood Advisory",
        "Flood Statement",
        "Flood Warning",
        "Flood Watch",
        "Freeze Warning",
        "Freeze Watch",
        "Frost Advisory",
        "Heat Advisory",
        "Lakeshore Flood Advisory",
        "Lakeshore Flood Warning",
        "Lakeshore Flood Watch",
        "Red Flag Warning",
        "Rip Current Statement",
        "Small Craft Advisory",
    }
)
"""Told, and left to the limits on heat, frost and rain, and to people. All others that are not
understood make their hours unknown."""

_NO_ALERTS = frozenset({"Test", "Exercise", "Draft"})
"""Words of `status` for what is not meant for the public."""


@dataclass(frozen=True, slots=True)
class Alert:
    """One alert, and what it does to its hours."""

    event: str
    start_s: int
    end_s: int
    thunder: bool = False
    wind_mps: float = 0.0
    gust_mps: float = 0.0
    unknown: bool = False
    """Not understood: wind is unknown in its hours."""

    @property
    def span(self) -> Span:
        """Its hours."""
        return (self.start_s, self.end_s)

    def holds(self, start: int, end: int) -> bool:
        """Whether it holds in any part of a stretch."""
        return self.start_s < end and start < self.end_s

    @property
    def sentence(self) -> str:
        """What people must see of it."""
        if self.thunder:
            does = "its hours count as thunder"
        elif self.gust_mps:
            gust_mph = convert(self.gust_mps, "mps", "mph")
            does = f"its hours count as gusts of {gust_mph:.0f} mph or more"
        elif self.unknown:
            does = "its hours are unknown"
        else:
            does = "look to it yourselves: it changes no hour"
        return f"public alert in force: {self.event or 'without a name'}; {does}"


def _times(told: Any) -> Span:
    """From onset (else effective, else sent) to `ends`, else `expires`; open where not told."""
    starts = [instant_s(part(told, name)) for name in ("onset", "effective", "sent")]
    ends = [instant_s(part(told, name)) for name in ("ends", "expires")]
    start = next((at for at in starts if at is not None), _FIRST_S)
    end = next((at for at in ends if at is not None), _LAST_S)
    # times that contradict each other are no times
    return (start, end) if end > start else (_FIRST_S, _LAST_S)


def alerts_in(answer: Any) -> tuple[Alert, ...]:
    """The alerts of an answer.

    Raises:
        FeedFault: where it is no list of alerts: whether there are any is not known then.
    """
    told = part(answer, "features")
    if not isinstance(told, list):
        raise FeedFault("the answer on public alerts is no list of alerts")
    found = []
    for one in items(told):
        told_of = part(one, "properties")
        if text(part(told_of, "status")) in _NO_ALERTS:
            continue
        event, (start, end) = text(part(told_of, "event")), _times(told_of)
        if event in _STORMS:
            found.append(Alert(event, start, end, thunder=True))
        elif event in _WINDS_MPH:
            wind, gust = (convert(mph, "mph", "mps") for mph in _WINDS_MPH[event])
            found.append(Alert(event, start, end, wind_mps=wind, gust_mps=gust))
        else:
            found.append(Alert(event, start, end, unknown=event not in _NOT_OF_THE_ROOF))
    return tuple(found)


def raised(alerts: Iterable[Alert], wind: float, gust: float) -> tuple[float, float]:
    """Mean and gust with what alerts in force tell at least; NaN stays NaN."""
    for one in alerts:
        if one.unknown:
            return float("nan"), float("nan")
        wind, gust = max(wind, one.wind_mps), max(gust, one.gust_mps)
    return wind, gust
