"""A figure with the words that say the same; the table beside it holds the numbers."""

import plotly.graph_objects as go
from dash import dcc, html


def picture(figure: go.Figure, words: str) -> html.Figure:
    """A figure that a reader who hears the page gets as `words`."""
    graph = dcc.Graph(
        figure=figure,
        config={"displayModeBar": False, "scrollZoom": False, "doubleClick": False},
        responsive=True,
        style={"height": f"{figure.layout.height}px"},
    )
    return html.Figure(
        [html.Div(graph, **{"aria-hidden": "true"}), html.Figcaption(words)], className="picture"
    )
