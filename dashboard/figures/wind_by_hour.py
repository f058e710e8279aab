"""Wind and gust of a day against their limits, with the windows marked."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache

import plotly.graph_objects as go
from plotly.subplots import make_subplots

from crewplan.model.verdict import Window
from crewplan.publishing.screen_units import UnitSystem, number, shown
from dashboard.figures.theme import BLUE, GREEN, SKY, VERMILLION, plain
from dashboard.tables.forecast_hours import Band, ForecastHour

_HALF_HOUR = timedelta(minutes=30)
_HEIGHT_PX = 430
_HEADROOM = 1.12
_KEPT_FIGURES = 256
"""More than a branch of 40 crews shows of one day."""


@dataclass(frozen=True, slots=True)
class WindLimit:
    """The stop limit of one measure, m/s; None: no limit stands."""

    gust_mps: float | None
    wind_mps: float | None


@lru_cache(_KEPT_FIGURES)
def wind_by_hour(
    hours: tuple[ForecastHour, ...],
    windows: tuple[Window, ...],
    limit: WindLimit,
    units: UnitSystem,
    _locale: str = "",
) -> go.Figure:
    """Two panels over one clock: gust above mean wind, each with its limit and the members' band.

    An hour without a value leaves a gap: nothing is drawn across it. The same values give the same
    figure, which nobody changes: drawing it takes a tenth of a second. `_locale` is the reader's,
    by which its numbers are written: a kept figure is one of the same locale.
    """
    name = shown("m/s", units).name
    figure = make_subplots(
        rows=2,
        cols=1,
        shared_xaxes=True,
        vertical_spacing=0.12,
        subplot_titles=(
            _title("Gust", name, limit.gust_mps, units),
            _title("Mean wind", name, limit.wind_mps, units),
        ),
    )
    for row, (bands, most) in enumerate(
        (
            ([hour.gust for hour in hours], limit.gust_mps),
            ([hour.wind for hour in hours], limit.wind_mps),
        ),
        start=1,
    ):
        _panel(figure, row, hours, bands, units)
        _limit_line(figure, row, most, units)
        figure.update_yaxes(range=[0, _top(bands, most, units)], row=row, col=1)
    for window in windows:
        figure.add_vrect(
            x0=window.start.replace(tzinfo=None),
            x1=window.end.replace(tzinfo=None),
            fillcolor=GREEN,
            opacity=0.16,
            line_width=0,
            layer="below",
        )
    if hours:
        first, last = hours[0].hour, hours[-1].hour + 2 * _HALF_HOUR
        figure.update_xaxes(range=[first.replace(tzinfo=None), last.replace(tzinfo=None)])
    figure.update_xaxes(tickformat="%H:%M", nticks=6)
    figure.update_annotations(font_size=14, x=0, xanchor="left")
    return plain(figure, _HEIGHT_PX)


def _top(bands: Sequence[Band | None], most_mps: float | None, units: UnitSystem) -> float:
    """Upper end of the axis: the limit and every forecast well inside it."""
    highest = max([most_mps or 0.0, *(band.high for band in bands if band is not None)])
    return highest * shown("m/s", units).factor * _HEADROOM or 1.0


def _panel(
    figure: go.Figure,
    row: int,
    hours: Sequence[ForecastHour],
    bands: Sequence[Band | None],
    units: UnitSystem,
) -> None:
    factor = shown("m/s", units).factor
    times = [(hour.hour + _HALF_HOUR).replace(tzinfo=None) for hour in hours]
    low = [None if band is None else band.low * factor for band in bands]
    middle = [None if band is None else band.middle * factor for band in bands]
    spread = [None if band is None else (band.high - band.low) * factor for band in bands]
    bars = go.Bar(
        x=times, base=low, y=spread, width=[3_300_000] * len(times), marker_color=SKY,
        marker_opacity=0.65, hoverinfo="skip",
    )  # fmt: skip
    figure.add_trace(bars, row=row, col=1)
    line = go.Scatter(
        x=times, y=middle, mode="lines+markers", line={"color": BLUE, "width": 2},
        marker={"size": 6}, connectgaps=False, hovertemplate="%{x|%H:%M}: %{y:.1f}<extra></extra>",
    )  # fmt: skip
    figure.add_trace(line, row=row, col=1)


def _title(what: str, unit: str, most_mps: float | None, units: UnitSystem) -> str:
    if most_mps is None:
        return f"{what}, {unit}: no limit"
    return f"{what}, {unit}: limit {number(most_mps, 'm/s', units)}, dashed"


def _limit_line(figure: go.Figure, row: int, most_mps: float | None, units: UnitSystem) -> None:
    if most_mps is None:
        return
    how = shown("m/s", units)
    figure.add_hline(
        y=most_mps * how.factor,
        line={"color": VERMILLION, "width": 3, "dash": "dash"},
        row=row,
        col=1,
    )
