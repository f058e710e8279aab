"""What every feed is: a place and a way to ask in, rows of the weather table out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from crewplan.model.weather_table import WeatherRow


class FeedFault(Exception):
    """A feed gave nothing that can be used; the text is one sentence without a full stop."""


@dataclass(frozen=True, slots=True)
class FeedPlace:
    """Where a forecast is asked for."""

    name: str
    """As the table's `place`."""
    latitude: float
    """Degrees."""
    longitude: float
    """Degrees, east positive."""


@dataclass(frozen=True, slots=True)
class Question:
    """One request."""

    path: str
    """On the feed's host, from `/` on."""
    parameters: Mapping[str, str] = field(default_factory=dict)
    kept_for_s: float = 600.0
    """A kept answer as young as this is taken without asking again. Assumed."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came back."""

    body: bytes
    as_of: datetime
    """When the server last said so: now, or when a kept answer was last confirmed."""
    stale: bool = False
    """A kept answer, given because the server did not answer."""


Ask = Callable[[Question], Answer]
"""Raises `FeedFault` where there is no answer, `NotThere` where the server knows of none."""


class NotThere(FeedFault):
    """The server says that it has no such thing."""


@dataclass(frozen=True, slots=True)
class Fetched:
    """A forecast of one place."""

    rows: tuple[WeatherRow, ...]
    told: tuple[str, ...] = ()
    """Sentences that people must see."""


class Feed(Protocol):
    """One kind of forecast."""

    @property
    def terms(self) -> tuple[str, ...]:
        """What its provider asks to be said."""
        ...

    def forecast(self, place: FeedPlace, ask: Ask) -> Fetched:
        """The forecast of one place.

        Raises:
            FeedFault: where there is none.
        """
        ...
