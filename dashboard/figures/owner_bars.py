"""The owner's figures: from price to margin, losses over time, plan against actual."""

from collections.abc import Sequence

import plotly.graph_objects as go

from crewplan.model.owner import JobPace
from crewplan.publishing.reader import decimal
from dashboard.figures.theme import (
    BLUE,
    FAINT,
    GREEN,
    INK,
    ORANGE,
    SKY,
    VERMILLION,
    axis_title,
    drawn,
    hatched,
)

_ROW_PX = 34
_TIME_PX = 400
_PACE_PX = 420
_CAUSES = ((ORANGE, "/"), (SKY, ""), (VERMILLION, "x"), (BLUE, "."), (GREEN, "\\"), (FAINT, "-"))
"""Colour and pattern of each cause, none told by colour alone; the last is of the rest."""
MOST_CAUSES = len(_CAUSES) - 1
MOST_MARKS = 500
"""Jobs of a figure. Assumed: a browser draws them at ease, and no more can be told apart."""
_MOST_NAMES = 6
"""Names a side beside their marks. Assumed."""


def waterfall(words: Sequence[str], amounts: Sequence[float], currency: str) -> go.Figure:
    """From the first amount (the price) down by all between to the last (the margin)."""
    steps = [amounts[0], *(-amount for amount in amounts[1:-1]), amounts[-1]]
    falls = go.Waterfall(
        orientation="h",
        y=list(words),
        x=steps,
        measure=["absolute", *["relative"] * (len(amounts) - 2), "total"],
        text=[decimal(step + 0.0, 0) for step in steps],
        textposition="outside",
        cliponaxis=False,
        connector={"line": {"color": INK, "width": 1}},
        totals={"marker": {"color": BLUE}},
        decreasing={"marker": {"color": ORANGE, "line": {"color": INK, "width": 1}}},
        increasing={"marker": {"color": GREEN}},
        hovertemplate="%{y}: %{text} " + currency + "<extra></extra>",
    )
    low, high = min(0.0, amounts[-1]), max(amounts[0], 1.0)
    return drawn(
        [falls],
        80 + _ROW_PX * len(words),
        x={"range": [low * 1.3, high * 1.4], "title": axis_title(currency)},
        y={"type": "category", "autorange": "reversed", "automargin": True, "ticksuffix": " "},
        margin={"l": 8, "r": 16, "t": 8, "b": 56},
    )


def losses_over_time(
    periods: Sequence[str], causes: Sequence[tuple[str, Sequence[float]]]
) -> go.Figure:
    """A bar a week or month, a colour and pattern a cause; the last cause takes the rest's."""
    bars = []
    for at, (cause, hours) in enumerate(causes):
        colour, pattern = _CAUSES[min(at, MOST_CAUSES)]
        bars.append(
            go.Bar(
                x=list(periods),
                y=list(hours),
                name=cause,
                marker=hatched(colour, pattern),
                hovertemplate="%{x}: %{y:.1f} h " + cause + "<extra></extra>",
            )
        )
    return drawn(
        bars,
        _TIME_PX,
        x={"type": "category", "tickangle": -45, "automargin": True},
        y={"title": axis_title("person-hours lost")},
        barmode="stack",
        showlegend=True,
        legend={"orientation": "h", "x": 0, "y": 1.02, "yanchor": "bottom", "traceorder": "normal"},
        margin={"l": 56, "r": 12, "t": 90, "b": 60},
        bargap=0.25,
    )


def plan_against_actual(paces: Sequence[JobPace]) -> go.Figure:
    """A mark a job: planned hours of the work done across, hours worked up.

    Of jobs that stand out the furthest are named; of more than `MOST_MARKS` jobs those that stand
    out are drawn, and of the others evenly as many as there is room for.
    """
    paces = _drawn(paces)
    most = max((max(one.earned_h, one.worked_h) for one in paces), default=1.0) * 1.15
    line = {"color": INK, "width": 1, "dash": "dash"}
    marks = [go.Scatter(x=[0, most], y=[0, most], mode="lines", line=line, hoverinfo="skip")]
    for kind, colour, symbol in (
        ("", BLUE, "circle"), ("over", VERMILLION, "triangle-up"),
        ("under", GREEN, "triangle-down"),
    ):  # fmt: skip
        rows = [one for one in paces if one.outlier == kind]
        furthest = rows[:_MOST_NAMES] if kind == "over" else rows[-_MOST_NAMES:]
        named = {one.job for one in furthest if kind}
        marks.append(
            go.Scatter(
                x=[one.earned_h for one in rows],
                y=[one.worked_h for one in rows],
                text=[one.job if one.job in named else "" for one in rows],
                customdata=[one.job for one in rows],
                mode="markers+text" if named else "markers",
                textposition="top center",
                cliponaxis=False,
                marker={
                    "color": colour, "symbol": symbol, "size": 10,
                    "line": {"color": INK, "width": 1},
                },
                hovertemplate="%{customdata}: %{y:.1f} h worked, %{x:.1f} h planned<extra></extra>",
            )
        )  # fmt: skip
    return drawn(
        marks,
        _PACE_PX,
        x={"range": [0, most], "title": axis_title("planned hours of the work done")},
        y={"range": [0, most], "title": axis_title("hours worked")},
        margin={"l": 56, "r": 12, "t": 12, "b": 56},
    )


def _drawn(paces: Sequence[JobPace]) -> list[JobPace]:
    """Furthest over first, as they come."""
    if len(paces) <= MOST_MARKS:
        return list(paces)
    others = [one for one in paces if not one.outlier]
    room = max(MOST_MARKS - (len(paces) - len(others)), 1)
    kept = {one.job for one in others[:: -(-len(others) // room)]}
    return [one for one in paces if one.outlier or one.job in kept]
