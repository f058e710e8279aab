"""The hours of the shift: a picture of wind and gust, and the table that says the same."""

from collections.abc import Sequence
from datetime import datetime

from dash import html

from crewplan.model.verdict import DayVerdict, HourVerdict
from crewplan.publishing.reader import reader
from crewplan.publishing.screen_units import UnitSystem, fixed, shown
from crewplan.running.board_view import BoardView
from dashboard.figures.wind_by_hour import wind_by_hour
from dashboard.pages.parts import Child, ages, card_table, fresh, fresh_words, opens, shape
from dashboard.pages.picture import picture
from dashboard.tables.forecast_hours import Band, ForecastHour, forecast_hours
from dashboard.tables.hour_words import HourWord, hour_word
from dashboard.tables.limits_drawn import wind_limit
from dashboard.text.tomorrow_words import decides_words
from dashboard.text.verdict_words import EXPOSURE_WORDS

_SHORT_WORDS = {"lift": "Lift", "roof": "Roof", "ground": "Ground"}


def visit_hours(view: BoardView, verdicts: Sequence[DayVerdict], now: datetime) -> list[Child]:
    """Picture and table, folded for ground work; words where there are no hours to show."""
    order = list(EXPOSURE_WORDS)
    ranked = sorted(verdicts, key=lambda verdict: order.index(verdict.exposure))
    if not ranked or not ranked[0].hours:
        return [html.P("There are no hours to show.")]
    top = ranked[0]
    inside = top.place_distance_km is not None
    place = top.place if inside else "\0nowhere"
    forecast = forecast_hours(view.branch.weather, place, [hour.hour for hour in top.hours])
    if top.exposure == "ground":
        return [opens("Hour by hour", _table(view, ranked, forecast, now))]
    return [
        html.H3("Hour by hour"),
        _picture(view, top, forecast, now),
        _table(view, ranked, forecast, now),
    ]


def _picture(
    view: BoardView, top: DayVerdict, forecast: tuple[ForecastHour, ...], now: datetime
) -> html.Div:
    units = view.branch.settings.units
    if all(hour.wind is None and hour.gust is None for hour in forecast):
        return html.Div(html.P("The forecast has no wind for these hours: nothing to draw."))
    drawn = wind_by_hour(forecast, top.windows, wind_limit(view, top.exposure), units, reader())
    share = int(view.branch.settings.gate_probability * 100)
    words = (
        "Bars run from the lowest to the highest of the forecasts, the line is the middle one."
        f" A window (shaded) needs {share} in 100 forecasts within every limit in all of its hours."
    )
    return ages(
        [
            fresh(picture(drawn, words)),
            html.P("The hours came from a forecast that no longer counts.", className="when-stale"),
        ],
        view,
        top.void_after,
        now,
    )


def _table(
    view: BoardView, ranked: Sequence[DayVerdict], forecast: Sequence[ForecastHour], now: datetime
) -> html.Table:
    units = view.branch.settings.units
    top = ranked[0]
    speed = shown("m/s", units).name
    caption = f"The same hours as a table; {speed}, middle forecast (lowest–highest)"
    rows: list[list[Child | list[Child]]] = []
    for place, (hour, weather) in enumerate(zip(top.hours, forecast, strict=True)):
        words: list[Child | list[Child]] = [
            _word(view, verdict, verdict.hours[place], now) for verdict in ranked
        ]
        rows.append(
            [
                f"{hour.hour:%H:%M}",
                *words,
                *(
                    _aged(view, cell, top, now)
                    for cell in (
                        _band_words(weather.gust, units),
                        _band_words(weather.wind, units),
                        decides_words(hour, units),
                        f"{int(hour.p_go * 100 + 1e-9)} %",
                    )
                ),
            ]
        )
    columns = (
        "Hour",
        *(_SHORT_WORDS[verdict.exposure] for verdict in ranked),
        "Gust",
        "Mean wind",
        "Decided by",
        "Chance",
    )
    return card_table(caption, columns, rows, "hours")


def _band_words(band: Band | None, units: UnitSystem) -> str:
    if band is None:
        return "unknown"
    low, middle, high = (fixed(v, "m/s", units) for v in (band.low, band.middle, band.high))
    return f"{middle} ({low}–{high})"


def _aged(view: BoardView, words: str, verdict: DayVerdict, now: datetime) -> html.Div:
    return ages(fresh_words(words), view, verdict.void_after, now)


def _word(view: BoardView, verdict: DayVerdict, hour: HourVerdict, now: datetime) -> html.Div:
    word = hour_word(verdict, hour)
    return ages(
        [
            html.Span([shape(_SHAPES[word]), word], className=f"when-fresh is-{word}"),
            html.Span([shape("unknown"), "unknown"], className="when-stale"),
        ],
        view,
        verdict.void_after,
        now,
        className="hour-word",
    )


_SHAPES: dict[HourWord, str] = {
    "go": "go",
    "no-go": "no-go",
    "unknown": "unknown",
    "too short": "short",
}
