"""A replay drawn: money and lost hours of each policy, with intervals where there are seeds."""

from collections.abc import Sequence
from html import escape
from statistics import mean

import plotly.graph_objects as go
from plotly.io import to_html

from crewplan.model.bootstrap import interval
from crewplan.model.replay_score import NOTICE_DAYS, Replays
from crewplan.publishing.day_words import day_words
from dashboard.figures.theme import BLUE, GREEN, INK, ORANGE, SKY, VERMILLION, hatched, plain

_ROW_PX = 46
_PARTS = (("lost_cost", "lost hours", ORANGE, "/"), ("driven_cost", "drives", SKY, ""),
          ("late_cost", "lateness", VERMILLION, "x"))  # fmt: skip
"""Part of the money, its word, colour and pattern: none is told by colour alone."""


def money_by_policy(replays: Replays, currency: str) -> go.Figure:
    """Bars of the three parts, means over seeds; a whisker is 90 % of the sum's mean."""
    names = [replays.words[name] for name in replays.scores]
    figure = go.Figure()
    for part, word, colour, pattern in _PARTS:
        amounts = [mean(getattr(one, part) for one in of) for of in replays.scores.values()]
        figure.add_bar(
            y=names, x=amounts, orientation="h", name=word,
            marker=hatched(colour, pattern),
            hovertemplate="%{x:,.0f} " + f"{currency} {word}<extra></extra>",
        )  # fmt: skip
    sums = [[one.money for one in of] for of in replays.scores.values()]
    figure.add_scatter(
        y=names, x=[mean(of) for of in sums], mode="markers", marker={"color": INK, "size": 7},
        error_x=_whiskers(sums), showlegend=False, hovertemplate="%{x:,.0f}<extra></extra>",
    )  # fmt: skip
    figure = plain(figure, 110 + _ROW_PX * len(names))
    figure.update_layout(
        barmode="stack", showlegend=True,
        legend={"orientation": "h", "y": 1.02, "yanchor": "bottom", "x": 0},
        margin={"l": 8, "r": 16, "t": 40, "b": 56},
    )  # fmt: skip
    figure.update_yaxes(autorange="reversed", automargin=True, ticksuffix=" ")
    figure.update_xaxes(rangemode="tozero", title={"text": currency})
    return figure


def hours_by_policy(replays: Replays) -> go.Figure:
    """Paid hours lost, means over seeds with 90 % of the mean."""
    names = [replays.words[name] for name in replays.scores]
    lost = [[one.lost_h for one in of] for of in replays.scores.values()]
    figure = go.Figure()
    figure.add_bar(
        y=names, x=[mean(of) for of in lost], orientation="h", marker_color=BLUE,
        error_x=_whiskers(lost), hovertemplate="%{x:,.0f} h<extra></extra>",
    )  # fmt: skip
    figure = plain(figure, 80 + _ROW_PX * len(names))
    figure.update_layout(margin={"l": 8, "r": 16, "t": 8, "b": 56})
    figure.update_yaxes(autorange="reversed", automargin=True, ticksuffix=" ")
    figure.update_xaxes(rangemode="tozero", title={"text": "person-hours lost"})
    return figure


def days_kept(replays: Replays) -> go.Figure:
    """Share of first days and of all starts that stood, by notice; policies that publish."""
    figure = go.Figure()
    days = [f"{ahead} working day{'s' if ahead > 1 else ''}" for ahead in NOTICE_DAYS]
    styles = (("first_days_kept", "first days of jobs", "solid", GREEN),
              ("starts_kept", "starts of stages", "dash", BLUE))  # fmt: skip
    for name, of in replays.scores.items():
        for field, word, dash, colour in styles:
            shares = [
                _mean_told([getattr(one, field)[at] for one in of]) for at in range(len(days))
            ]
            if any(share is not None for share in shares):
                figure.add_scatter(
                    x=days, y=shares, mode="lines+markers", line={"dash": dash, "color": colour},
                    name=f"{word}: {replays.words[name]}",
                    hovertemplate="%{y:.0%}<extra></extra>",
                )  # fmt: skip
    figure = plain(figure, 380)
    figure.update_layout(showlegend=True, legend={"orientation": "h", "y": -0.2, "x": 0})
    figure.update_yaxes(range=[0, 1.02], tickformat=".0%")
    return figure


def replayed_document(replays: Replays, currency: str) -> str:
    """One HTML file that asks nothing of any other host."""
    span = f"{day_words(replays.first)} {replays.first.year} to {day_words(replays.last)}"
    title = f"Past weather replayed, {span} {replays.last.year}"
    parts = (
        ("What each way to plan cost (black: the sum and 90 % of its mean)",
         money_by_policy(replays, currency)),
        ("Paid hours lost", hours_by_policy(replays)),
        ("Days that stood as told so many working days before", days_kept(replays)),
    )  # fmt: skip
    body = "".join(
        f"<h2>{escape(words)}</h2>"
        + to_html(
            figure, include_plotlyjs=not number, full_html=False, config={"displayModeBar": False}
        )
        for number, (words, figure) in enumerate(parts)
    )
    style = "body{font:16px system-ui,sans-serif;max-width:1100px;margin:0 auto;padding:0 16px}"
    return (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(title)}</title><style>{style}</style></head>"
        f"<body><h1>{escape(title)}</h1>"
        f"<p>{sum(replays.jobs) / len(replays.jobs):.0f} jobs, {len(replays.jobs)} seed(s); "
        f"forecasts that nobody kept are made.</p>{body}</body></html>"
    )


def _whiskers(of: Sequence[Sequence[float]]) -> dict[str, object]:
    if len(of[0]) == 1:
        return {"visible": False}
    ends = [interval(values) for values in of]
    return {
        "type": "data", "symmetric": False, "color": INK,
        "array": [high - mean(values) for values, (_, high) in zip(of, ends, strict=True)],
        "arrayminus": [mean(values) - low for values, (low, _) in zip(of, ends, strict=True)],
    }  # fmt: skip


def _mean_told(shares: Sequence[float | None]) -> float | None:
    told = [share for share in shares if share is not None]
    return mean(told) if told else None
