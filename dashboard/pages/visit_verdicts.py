"""The answer, exposure by exposure: word and shape first, then windows and why."""

from collections.abc import Collection, Sequence
from datetime import datetime

from dash import html

from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.publishing.screen_units import quantity
from crewplan.publishing.sentences import sentence
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child, ages, fresh, lines, verdict_sign
from dashboard.text.plain_words import plain_words
from dashboard.text.tomorrow_words import needed_words, void_words, window_words
from dashboard.text.verdict_words import EXPOSURE_WORDS, NO_CONNECTION, TOO_OLD


def verdict_cards(
    view: BoardView,
    verdicts: Sequence[DayVerdict],
    now: datetime,
    needed: Collection[Exposure] = EXPOSURES,
) -> html.Div:
    """One card an exposure that is needed, the most exposed first; unknown where none was asked."""
    by_exposure = {verdict.exposure: verdict for verdict in verdicts}
    cards = [
        _card(view, by_exposure[exposure], now) if exposure in by_exposure else _not_asked(exposure)
        for exposure in reversed(EXPOSURES)
        if exposure in needed
    ]
    return html.Div(cards, className="verdicts")


def _not_asked(exposure: Exposure) -> html.Div:
    return html.Div(
        [
            html.P(EXPOSURE_WORDS[exposure], className="exposure"),
            verdict_sign("unknown", large=True),
            html.P("No verdict was worked out for this site: treat it as no-go."),
        ],
        className="verdict is-unknown",
    )


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
            fresh([windows, *_why(verdict)]),
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


def _why(verdict: DayVerdict) -> list[Child]:
    """What stands against it; where it is go, the windows have said all."""
    return [] if verdict.verdict == "go" else [html.P(sentence(plain_words(verdict.why)))]


def _place(view: BoardView, verdict: DayVerdict) -> str:
    if verdict.place_distance_km is None:
        return ""
    far = quantity(verdict.place_distance_km, "km", view.branch.settings.units)
    return f"Forecast for {verdict.place or 'the branch'}, {far} away."
