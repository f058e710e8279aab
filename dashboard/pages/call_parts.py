"""Parts of the week's and the office's pages: whom to call, and that it is not known whom."""

from dash import html

from crewplan.publishing.call_words import telephone, whom
from crewplan.readiness.calls import Call
from crewplan.readiness.ready_view import ReadyView
from crewplan.running.board_view import BoardView
from dashboard.pages.parts import Child
from dashboard.text.waiting_words import failed_words


def named(ready: ReadyView, call: Call) -> list[Child]:
    """The name, and where the tables have one the number, which a telephone dials at a touch."""
    number = telephone(ready, call)
    if not number:
        return [html.Span(whom(ready, call), className="name")]
    digits = "".join(sign for sign in number if sign.isdigit() or sign == "+")
    name = whom(ready, call).removesuffix(f" ({number})")
    return [html.Span(name, className="name"), html.A(number, href=f"tel:{digits}")]


def not_worked_out(view: BoardView) -> html.Div:
    """In place of calls and of what is awaited, where the working out failed."""
    first, *then = failed_words(view.asked_at)
    return html.Div([html.P(html.B(first)), *map(html.P, then)], className="warning", role="alert")
