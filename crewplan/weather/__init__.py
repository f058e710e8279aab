"""The weather gate: limits, open hours, windows and verdicts. It fails shut.

A go needs fresh data of every member for every measure; whatever is missing, stale or out of
reach makes an hour unknown, and unknown counts as no-go.
"""

from crewplan.weather.desk import Clock
from crewplan.weather.forecast import Purpose
from crewplan.weather.gate import day_verdicts, verdicts
from crewplan.weather.grid import PlaceGrid, place_grids
from crewplan.weather.limits import EffectiveLimits, effective_limits
from crewplan.weather.open_hours import open_hours, open_hours_all
from crewplan.weather.site import Site
from crewplan.weather.within_limits import within_limits

__all__ = [
    "Clock",
    "EffectiveLimits",
    "PlaceGrid",
    "Purpose",
    "Site",
    "day_verdicts",
    "effective_limits",
    "open_hours",
    "open_hours_all",
    "place_grids",
    "verdicts",
    "within_limits",
]
