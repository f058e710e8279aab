"""Which feed a branch has."""

import os

from crewplan.intake.feeds.ensemble import EnsembleFeed
from crewplan.intake.feeds.feed import Feed
from crewplan.intake.feeds.grid import GridFeed
from crewplan.model.settings import Settings

GRID_HOST = "https://api.weather.gov"
KEY_VARIABLE = "CREWPLAN_FEED_KEY"
"""Of the environment; wins over the setting, so that a key need not stand in a file."""


def host_of(settings: Settings) -> str:
    """Where the feed is asked; empty for a table."""
    feed = settings.feed
    if feed is None or feed.kind == "table":
        return ""
    return (feed.host or GRID_HOST).rstrip("/")


def feed_of(settings: Settings) -> Feed | None:
    """The branch's feed; None: the weather is a table that people bring."""
    feed = settings.feed
    if feed is None or feed.kind == "table":
        return None
    if feed.kind == "grid":
        return GridFeed()
    key = os.environ.get(KEY_VARIABLE) or feed.key
    return EnsembleFeed(host_of(settings), feed.model, key, settings.weather_members or 0)
