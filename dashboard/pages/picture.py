"""A figure with the words that say the same; the table beside it holds the numbers."""

import plotly.graph_objects as go
from dash import dcc, html
from plotly.io.json import to_json_plotly

from dashboard.figures.hours_bars import lost_hours, work_and_waiting


def picture(figure: go.Figure, words: str) -> html.Figure:
    """A figure that a reader who hears the page gets as `words`."""
    drawn = html.Div(_graph(figure), **{"aria-hidden": "true"})
    return html.Figure([drawn, html.Figcaption(words)], className="picture")


def drawn_ahead() -> html.Div:
    """Two small pictures that nobody sees; see assets/ahead.js."""
    figures = (work_and_waiting(("A",), (2.0,), (1.0,)), lost_hours(("a",), (1.0,)))
    graphs = to_json_plotly([_graph(figure) for figure in figures])
    return html.Div(id="ahead", **{"aria-hidden": "true", "data-pictures": graphs})


def _graph(figure: go.Figure) -> dcc.Graph:
    return dcc.Graph(
        figure=figure,
        config={"displayModeBar": False, "scrollZoom": False, "doubleClick": False},
        responsive=True,
        style={"height": f"{figure.layout.height}px"},
    )
