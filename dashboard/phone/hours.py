"""The hours of the shift on the crew's day: words, wind and gust, and their picture."""

from collections.abc import Sequence
from typing import Any

from crewplan.model.verdict import DayVerdict
from crewplan.publishing.screen_units import fixed, quantity, shown
from dashboard.phone.drawing import gust_bars
from dashboard.phone.seen import TOP_FIRST, Seen, is_stale, void_of
from dashboard.tables.forecast_hours import Band, ForecastHour, forecast_hours
from dashboard.tables.hour_words import hour_word
from dashboard.tables.limits_drawn import wind_limit

_MOST_COLUMNS = 2
"""Of exposures, hour by hour, that a telephone has room for: the most exposed; the others have
their windows in their cards."""


def hours_facts(seen: Seen, verdicts: Sequence[DayVerdict]) -> dict[str, Any] | None:
    """Hours of the most exposed verdict; they age with whichever of the verdicts ages first."""
    ranked = sorted(verdicts, key=lambda verdict: TOP_FIRST.index(verdict.exposure))
    if not ranked or not ranked[0].hours:
        return None
    top, units = ranked[0], seen.view.branch.settings.units
    place = top.place if top.place_distance_km is not None else "\0nowhere"
    forecast = forecast_hours(seen.view.branch.weather, place, [hour.hour for hour in top.hours])
    gust = wind_limit(seen.view, top.exposure).gust_mps
    first = min(ranked, key=lambda v: v.void_after or seen.now)
    speed = shown("m/s", units).name
    caption = (
        seen.say("hours_caption_free", speed=speed)
        if gust is None
        else seen.say("hours_caption", speed=speed, limit=quantity(gust, "m/s", units))
    )
    told = ranked[:_MOST_COLUMNS]
    rows = [
        (
            f"{hour.hour:%H:%M}",
            [seen.say(_SMALL[hour_word(verdict, verdict.hours[at])]) for verdict in told],
            _band(seen, forecast[at].gust),
            _band(seen, forecast[at].wind),
        )
        for at, hour in enumerate(top.hours)
    ]
    return {
        "columns": [seen.say(f"{verdict.exposure}_short") for verdict in told],
        "rows": rows,
        "caption": caption,
        "picture": _picture(seen, forecast, gust),
        "void": void_of(seen, first),
        "stale": any(is_stale(seen, verdict) for verdict in ranked),
    }


_SMALL = {"go": "go_small", "no-go": "no-go_small", "unknown": "unknown_small",
          "too short": "too short"}  # fmt: skip


def _picture(seen: Seen, forecast: Sequence[ForecastHour], gust: float | None) -> Any:
    return gust_bars(forecast, gust, seen.view.branch.settings.units, seen.say("bars"))


def _band(seen: Seen, band: Band | None) -> str:
    if band is None:
        return seen.say("unknown_small")
    units = seen.view.branch.settings.units
    low, middle, high = (fixed(v, "m/s", units) for v in (band.low, band.middle, band.high))
    return f"{middle} ({low}–{high})"
