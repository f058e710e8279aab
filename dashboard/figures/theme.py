"""Colours and type of every figure: the Okabe–Ito set, safe for colour-blind eyes.

Source: Okabe and Ito, 'Color universal design', 2002, open to everybody's use.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import plotly.graph_objects as go

from crewplan.publishing.reader import separators

INK = "#1f2328"
FAINT = "#d9d5ca"
BLUE = "#0072B2"
SKY = "#56B4E9"
GREEN = "#009E73"
VERMILLION = "#D55E00"
ORANGE = "#E69F00"
PAPER = "#ffffff"

_FONT = "system-ui, -apple-system, 'Segoe UI', 'Noto Sans', 'DejaVu Sans', sans-serif"
_AXIS = {"fixedrange": True, "gridcolor": FAINT, "zeroline": False, "linecolor": INK}


def drawn(
    marks: Sequence[Any],
    height: int,
    x: Mapping[str, Any] | None = None,
    y: Mapping[str, Any] | None = None,
    **layout: Any,
) -> go.Figure:
    """Marks on quiet axes, without chrome or dragging, all said at once.

    Said afterwards, by `update_layout` and its like, the same takes several times as long.

    Args:
        marks: the figure's traces.
        height: in px.
        x: what the axis across has besides.
        y: what the axis up has besides.
        layout: what the figure has besides, or in place of what is quiet.
    """
    axes = {"xaxis": {**_AXIS, **(x or {})}, "yaxis": {**_AXIS, **(y or {})}}
    return go.Figure(list(marks), {**_quiet(height), **axes, **layout})


def plain(figure: go.Figure, height: int) -> go.Figure:
    """The same of a figure that is there."""
    figure.update_layout(_quiet(height))
    figure.update_xaxes(_AXIS)
    figure.update_yaxes(_AXIS)
    return figure


def hatched(colour: str, shape: str = "/") -> dict[str, Any]:
    """A mark that is told apart by its pattern as well as by its colour."""
    return {
        "color": colour,
        "line": {"color": INK, "width": 1},
        "pattern": {"shape": shape, "fgcolor": INK, "bgcolor": colour, "size": 6},
    }


def axis_title(words: str) -> dict[str, Any]:
    """What stands beside an axis."""
    return {"text": words, "font": {"size": 13}}


def _quiet(height: int) -> dict[str, Any]:
    return {
        "template": "none",
        "height": height,
        "font": {"family": _FONT, "size": 14, "color": INK},
        "paper_bgcolor": PAPER,
        "plot_bgcolor": PAPER,
        "margin": {"l": 48, "r": 12, "t": 28, "b": 36},
        "dragmode": False,
        "hovermode": "closest",
        "showlegend": False,
        "separators": separators(),
    }
