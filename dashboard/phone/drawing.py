"""Pictures of the crew's day, drawn here: the roof, and gusts by hour against the limit."""

import re
from collections.abc import Sequence
from html import escape, unescape

from markupsafe import Markup

from crewplan.publishing.crew_sheet.facts import PlaneMarks
from crewplan.publishing.roof_drawing import TooLarge, roof_drawing
from crewplan.publishing.screen_units import UnitSystem, quantity
from dashboard.phone.language import Tongue
from dashboard.tables.forecast_hours import ForecastHour

_TEXT = re.compile(r"(<text[^>]*>)([^<]*)(</text>)")
_FRAGMENTS = ("both diagonals ", " on paper = ", " on the roof (")
_WIDTH, _HEIGHT, _LEFT, _BASE = 340, 110, 24, 92


def roof_svg(marks: PlaneMarks, units: UnitSystem, tongue: Tongue) -> tuple[Markup, int] | None:
    """The plane's drawing with its words translated, and its scale; None: no page holds it."""
    try:
        drawing = roof_drawing(marks, units)
    except TooLarge:
        return None
    return Markup(_TEXT.sub(lambda found: _translated(found, tongue), drawing.svg)), drawing.scale


def _translated(found: re.Match[str], tongue: Tongue) -> str:
    text = unescape(found.group(2))
    told = tongue.word(text)
    if told == text:
        for part in _FRAGMENTS:
            told = told.replace(part, tongue.word(part))
    return f"{found.group(1)}{escape(told)}{found.group(3)}"


def gust_bars(
    hours: Sequence[ForecastHour], limit_mps: float | None, units: UnitSystem, title: str
) -> Markup | None:
    """A bar an hour from the lowest to the highest gust; None where no hour has one.

    An hour without a gust gets a question mark, and no bar: unknown is not calm.
    """
    known = [hour.gust for hour in hours if hour.gust is not None]
    if not known:
        return None
    top = max(max(band.high for band in known), (limit_mps or 0.0)) * 1.15
    step = (_WIDTH - _LEFT) / len(hours)

    def y(mps: float) -> float:
        return round(_BASE - mps / top * (_BASE - 8), 1)

    parts = [f"<title>{escape(title)}</title>"]
    for place, hour in enumerate(hours):
        x = round(_LEFT + step * (place + 0.5), 1)
        parts.append(f'<text x="{x}" y="{_BASE + 13}" class="at">{hour.hour:%H}</text>')
        band = hour.gust
        if band is None:
            parts.append(f'<text x="{x}" y="{_BASE - 4}" class="at">?</text>')
            continue
        wide = round(step * 0.5, 1)
        low, high, middle = y(band.low), y(band.high), y(band.middle)
        parts.append(
            f'<rect x="{x - wide / 2:.1f}" y="{high}" width="{wide}"'
            f' height="{max(low - high, 2):.1f}" class="bar"/>'
            f'<path d="M{x - wide / 2:.1f} {middle}h{wide}" class="middle"/>'
        )
    if limit_mps is not None:
        at = y(limit_mps)
        words = escape(quantity(limit_mps, "m/s", units))
        parts.append(
            f'<path d="M{_LEFT} {at}H{_WIDTH}" class="limit"/>'
            f'<text x="{_WIDTH}" y="{at - 3}" class="end">{words}</text>'
        )
    inner = "".join(parts)
    box = f"0 0 {_WIDTH} {_HEIGHT}"
    return Markup(f'<svg class="gusts" viewBox="{box}" role="img">{inner}</svg>')
