"""The answer, exposure by exposure: word and shape first, then windows and why."""

from collections.abc import Sequence
from datetime import datetime

from dash import html

from crewplan.model.verdict import DayVerdict
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child, ages, fresh, lines, verdict_sign
from dashboard.text.chances import sentence
from dashboard.text.tomorrow_words import needed_words, void_words, window_words
from dashboard.text.verdict_words import EXPOSURE_WORDS, NO_CONNECTION, TOO_OLD
from dashboard.units import quantity


def verdict_cards(view: BoardView, verdicts: Sequence[DayVerdict], now: datetime) -> list[Child]:
    """One card an exposure, the most exposed first."""
    order = list(EXPOSURE_WORDS)
    ranked = sorted(verdicts, key=lambda verdict: order.index(verdict.exposure))
    if not ranked:
        return [
            html.Div(
                [
                    verdict_sign("unknown", large=True),
                    html.P("No verdict was worked out for this site: treat it as no-go."),
                ],
                className="verdict",
            )
        ]
    return [html.Div([_card(view, verdict, now) for verdict in ranked], className="verdicts")]


def _card(view: BoardView, verdict: DayVerdict, now: datetime) -> html.Div:
    windows = (
        lines([window_words(window) for window in verdict.windows], "windows")
        if verdict.windows
        else html.P("No window.", className="windows")
    )
    return ages(
        [
            html.P(EXPOSURE_WORDS[verdict.exposure], className="exposure"),
            verdict_sign(verdict.verdict, large=True),
            fresh([windows, html.P(sentence(verdict.why))]),
            html.P(
                [
                    html.Span(TOO_OLD, className="if-age"),
                    html.Span(NO_CONNECTION, className="if-lost"),
                ],
                className="when-stale",
            ),
            html.P(needed_words(verdict), className="small"),
            html.P(f"{void_words(verdict)} {_place(view, verdict)}", className="small"),
        ],
        view,
        verdict.void_after,
        now,
        className=f"verdict is-{verdict.verdict}",
        role="group",
        **{"aria-label": EXPOSURE_WORDS[verdict.exposure]},
    )  # fmt: skip


def _place(view: BoardView, verdict: DayVerdict) -> str:
    if verdict.place_distance_km is None:
        return ""
    far = quantity(verdict.place_distance_km, "km", view.branch.settings.units)
    return f"Forecast for {verdict.place or 'the branch'}, {far} away."
