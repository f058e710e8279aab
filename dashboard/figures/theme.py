"""Colours and type of every figure: the Okabe–Ito set, safe for colour-blind eyes.

Source: Okabe and Ito, 'Color universal design', 2002, open to everybody's use.
"""

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


def plain(figure: go.Figure, height: int) -> go.Figure:
    """The figure with quiet axes, no chrome and no dragging, `height` in px."""
    figure.update_layout(
        template="none",
        height=height,
        font={"family": _FONT, "size": 14, "color": INK},
        paper_bgcolor=PAPER,
        plot_bgcolor=PAPER,
        margin={"l": 48, "r": 12, "t": 28, "b": 36},
        dragmode=False,
        hovermode="closest",
        showlegend=False,
        separators=separators(),
    )
    figure.update_xaxes(fixedrange=True, gridcolor=FAINT, zeroline=False, linecolor=INK)
    figure.update_yaxes(fixedrange=True, gridcolor=FAINT, zeroline=False, linecolor=INK)
    return figure
