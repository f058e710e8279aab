"""Hours as bars: the work, and what is lost beside it."""

from functools import lru_cache

import plotly.graph_objects as go

from crewplan.publishing.reader import decimal
from dashboard.figures.theme import BLUE, INK, ORANGE, plain

_BAR_PX = 30
_ROOM_PX = 96
_KEPT_FIGURES = 16


@lru_cache(_KEPT_FIGURES)
def work_and_waiting(
    names: tuple[str, ...], work: tuple[float, ...], lost: tuple[float, ...]
) -> go.Figure:
    """One bar a name: hours of work, then hours expected to be lost, hatched.

    The same values give the same figure, which nobody changes.
    """
    figure = go.Figure()
    figure.add_bar(
        y=list(names), x=list(work), orientation="h", name="work", marker_color=BLUE,
        hovertemplate="%{y}: %{x:.1f} h of work<extra></extra>",
    )  # fmt: skip
    figure.add_bar(
        y=list(names), x=list(lost), orientation="h", name="lost to weather",
        marker={
            "color": ORANGE, "line": {"color": INK, "width": 1},
            "pattern": {"shape": "/", "fgcolor": INK, "bgcolor": ORANGE, "size": 6},
        },
        hovertemplate="%{y}: %{x:.1f} h lost<extra></extra>",
    )  # fmt: skip
    figure.update_layout(barmode="stack")
    if not any(work) and not any(lost):  # else it would be drawn around 0
        figure.update_xaxes(range=[0, 1])
    return _bars(figure, len(names), legend=True)


@lru_cache(_KEPT_FIGURES)
def lost_hours(names: tuple[str, ...], lost: tuple[float, ...]) -> go.Figure:
    """One bar a cause, hatched as lost hours are everywhere, with its hours written at its end.

    The same values give the same figure, which nobody changes.
    """
    figure = go.Figure()
    figure.add_bar(
        y=list(names), x=list(lost), orientation="h", cliponaxis=False,
        text=[f"{decimal(hours, 1)} h" for hours in lost], textposition="outside",
        marker={
            "color": ORANGE, "line": {"color": INK, "width": 1},
            "pattern": {"shape": "/", "fgcolor": INK, "bgcolor": ORANGE, "size": 6},
        },
        hovertemplate="%{y}: %{x:.1f} h<extra></extra>",
    )  # fmt: skip
    figure.update_xaxes(range=[0, max(lost, default=1.0) * 1.35])
    return _bars(figure, len(names), legend=False)


def _bars(figure: go.Figure, count: int, legend: bool) -> go.Figure:
    figure = plain(figure, _ROOM_PX + _BAR_PX * max(count, 1))
    figure.update_yaxes(autorange="reversed", automargin=True, ticksuffix=" ")
    figure.update_xaxes(title={"text": "person-hours", "font": {"size": 13}})
    figure.update_layout(
        margin={"l": 8, "r": 16, "t": 30 if legend else 8, "b": 56},
        showlegend=legend,
        legend={"orientation": "h", "x": 0, "y": 1.0, "yanchor": "bottom", "traceorder": "normal"},
        bargap=0.35,
    )
    return figure
