"""Hours as bars: the work, and what is lost beside it."""

from functools import lru_cache
from typing import Any

import plotly.graph_objects as go

from crewplan.publishing.reader import decimal
from dashboard.figures.theme import BLUE, ORANGE, axis_title, drawn, hatched

_BAR_PX = 30
_ROOM_PX = 96
_KEPT_FIGURES = 16
_HATCHED = hatched(ORANGE)
"""Lost hours, everywhere."""


@lru_cache(_KEPT_FIGURES)
def work_and_waiting(
    names: tuple[str, ...], work: tuple[float, ...], lost: tuple[float, ...]
) -> go.Figure:
    """One bar a name: hours of work, then hours expected to be lost, hatched.

    The same values give the same figure, which nobody changes.
    """
    placed = go.Bar(
        y=list(names), x=list(work), orientation="h", name="work", marker={"color": BLUE},
        hovertemplate="%{y}: %{x:.1f} h of work<extra></extra>",
    )  # fmt: skip
    beside = go.Bar(
        y=list(names), x=list(lost), orientation="h", name="lost to weather", marker=_HATCHED,
        hovertemplate="%{y}: %{x:.1f} h lost<extra></extra>",
    )  # fmt: skip
    empty = not any(work) and not any(lost)  # else it would be drawn around 0
    x = {"range": [0, 1]} if empty else {}
    return _bars([placed, beside], len(names), x, legend=True, barmode="stack")


@lru_cache(_KEPT_FIGURES)
def lost_hours(names: tuple[str, ...], lost: tuple[float, ...]) -> go.Figure:
    """One bar a cause, hatched as lost hours are everywhere, with its hours written at its end.

    The same values give the same figure, which nobody changes.
    """
    bars = go.Bar(
        y=list(names), x=list(lost), orientation="h", cliponaxis=False,
        text=[f"{decimal(hours, 1)} h" for hours in lost], textposition="outside",
        marker=_HATCHED, hovertemplate="%{y}: %{x:.1f} h<extra></extra>",
    )  # fmt: skip
    return _bars([bars], len(names), {"range": [0, max(lost, default=1.0) * 1.35]}, legend=False)


def _bars(
    bars: list[go.Bar], count: int, x: dict[str, Any], *, legend: bool, **layout: Any
) -> go.Figure:
    return drawn(
        bars,
        _ROOM_PX + _BAR_PX * max(count, 1),
        x={"title": axis_title("person-hours"), **x},
        y={"type": "category", "autorange": "reversed", "automargin": True, "ticksuffix": " "},
        margin={"l": 8, "r": 16, "t": 30 if legend else 8, "b": 56},
        showlegend=legend,
        legend={"orientation": "h", "x": 0, "y": 1.0, "yanchor": "bottom", "traceorder": "normal"},
        bargap=0.35,
        **layout,
    )
