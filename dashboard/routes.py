"""From an address to a page."""

from collections.abc import Mapping
from datetime import datetime
from urllib.parse import parse_qs

from dash import html

from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from dashboard.pages import hours, tomorrow, week
from dashboard.pages.parts import Child, clock_mark
from dashboard.text.tomorrow_words import time_words
from dashboard.text.verdict_words import NO_CONNECTION

_PAGES: Mapping[str, tuple[str, str]] = {
    "/": ("This week", week.QUESTION),
    "/tomorrow": ("Tomorrow", tomorrow.QUESTION),
    "/hours": ("The hours", hours.QUESTION),
}
"""By path: the short name that leads there, and the question that the page answers."""


def question(path: str) -> str:
    """The question of the page at a path; the first page's where there is none."""
    return _PAGES.get(_known(path), _PAGES["/"])[1]


def _known(path: str) -> str:
    return path.rstrip("/") or "/"


def chosen_crew(view: BoardView, search: str) -> str:
    """The crew of a link such as '?crew=Birch', else the first with work."""
    asked = parse_qs((search or "").lstrip("?")).get("crew", [""])[0]
    return asked or tomorrow.first_crew(view)


def page(view: BoardView, path: str, search: str, now: datetime) -> list[Child]:
    """Head, page and foot at an address."""
    return [
        _head(view, path),
        html.Main(_content(view, path, search, now), id="page"),
        _foot(view),
    ]


def _content(view: BoardView, path: str, search: str, now: datetime) -> html.Div:
    match _known(path or "/"):
        case "/":
            return week.week_page(view, now)
        case "/tomorrow":
            return tomorrow.tomorrow_page(view, chosen_crew(view, search), now)
        case "/hours":
            return hours.hours_page(view, now)
        case _:
            words = "There is no page at this address. Choose one of the questions above."
            return html.Div([html.H1("Nothing here"), html.P(words)])


def _head(view: BoardView, path: str) -> html.Header:
    settings = view.branch.settings
    links: list[Child] = [
        html.Span(words, **{"aria-current": "page"})
        if address == _known(path or "/")
        else html.A(words, href=address)
        for address, (words, _) in _PAGES.items()
    ]
    invented = " All of it is invented." if settings.invented else ""
    return html.Header(
        [
            html.P(
                [html.B(settings.name), html.Span(f"As of {time_words(view.asked_at)}.{invented}")]
            ),
            html.Nav(links, **{"aria-label": "Questions"}),
            *clock_mark(view),
            html.P(NO_CONNECTION, className="connection-lost", role="alert"),
        ]
    )


def _foot(view: BoardView) -> html.Footer:
    days = view.plan.horizon.days
    span = f"Plan for {day_words(days[0])} to {day_words(days[-1])}. " if days else ""
    return html.Footer(
        html.P(
            f"{span}Made from the folder's tables as they were when the board started, which"
            " nothing here changes. Start it again to ask anew."
        )
    )
