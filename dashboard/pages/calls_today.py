"""Whom to call today, as a short list on the week's page; the page 'Waiting' has all of it."""

from datetime import datetime

from dash import html

from crewplan.publishing.call_words import say, until_words
from crewplan.readiness.calls import Call
from crewplan.readiness.ready_view import ReadyView
from crewplan.running.board_view import BoardView
from dashboard.pages.call_parts import named, not_worked_out
from dashboard.pages.parts import Child, ages
from dashboard.tables.awaited import NotWorkedOut, awaited_of, next_day
from dashboard.text.chances import count_words, money_words
from dashboard.text.waiting_words import NO_CALLS, OF_ANOTHER_DAY

_SHOWN = 5
"""Calls of the list: what one person gets through before the day begins. Assumed."""


def calls_today(view: BoardView, now: datetime) -> html.Div:
    """The dearest delays first: whom to call, by when, what to say, and what a day costs."""
    ready = awaited_of(view)
    if isinstance(ready, NotWorkedOut):
        return not_worked_out(view)
    if not ready.calls:
        return html.Div([html.P(NO_CALLS), html.P(_all("What each job waits for"))])
    number = len(ready.calls)
    rest = number - _SHOWN
    words = (
        f"The {_SHOWN} dearest delays of {count_words(number, 'call')}, the dearest first."
        if rest > 0
        else f"{count_words(number, 'call')}, the dearest delay first."
    )
    link = f"The {rest} other calls, and what each job waits for" if rest > 0 else "All of it"
    return ages(
        [
            html.P(OF_ANOTHER_DAY, className="when-stale warning", role="alert"),
            html.P(words),
            html.Ol(
                [_item(view, ready, call) for call in ready.calls[:_SHOWN]], className="to-call"
            ),
            html.P(_all(link)),
        ],
        view,
        next_day(view),
        now,
    )


def _all(words: str) -> html.A:
    return html.A(words, href="/waiting", className="to-waiting")


def _item(view: BoardView, ready: ReadyView, call: Call) -> html.Li:
    cost = money_words(round(call.cost_a_day * 100), view.branch.settings.currency)
    head: list[Child] = [*named(ready, call), html.Span(until_words(ready, call))]
    return html.Li(
        [
            html.P(head, className="risk-head"),
            html.P(say(ready, call)),
            html.P(f"A day of delay costs {cost}.", className="rest"),
        ]
    )
