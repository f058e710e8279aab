"""From an address to a page."""

from collections.abc import Mapping
from datetime import datetime
from urllib.parse import parse_qs

from dash import html
from markupsafe import Markup

from crewplan.model.account import Act, Actor
from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from dashboard.bringing.shown import ADDRESS, QUESTION
from dashboard.guard.routes import Need
from dashboard.pages import hours, tomorrow, week
from dashboard.pages.parts import Child, clock_mark
from dashboard.plain_html import to_html
from dashboard.text.tomorrow_words import time_words
from dashboard.text.verdict_words import NO_CONNECTION

_PAGES: Mapping[str, tuple[str, str, Act]] = {
    "/": ("This week", week.QUESTION, "see the week"),
    "/tomorrow": ("Tomorrow", tomorrow.QUESTION, "see tomorrow"),
    "/hours": ("The hours", hours.QUESTION, "see the hours"),
    ADDRESS: ("New tables", QUESTION, "import tables"),
}
"""By path: the short name that leads there, the question that the page answers, what it takes."""


_LOADED_WHOLE = {"data-whole": ""}
"""A page that is a document of its own: the script of the others does not open it."""


def page_need(path: str) -> Need:
    """What the page at a path takes; that there is none is told to those signed in."""
    found = _PAGES.get(_known(path or "/"))
    return found[2] if found else "signed in"


def pages_of(actor: Actor) -> list[str]:
    """The paths of the pages that somebody may see, in order."""
    return [path for path, (_, _, act) in _PAGES.items() if actor.may(act)]


def question(path: str) -> str:
    """The question of the page at a path; the first page's where there is none."""
    return _PAGES.get(_known(path), _PAGES["/"])[1]


def _known(path: str) -> str:
    return path.rstrip("/") or "/"


def chosen_crew(view: BoardView, search: str) -> str:
    """The crew of a link such as '?crew=Birch', else the first with work."""
    asked = parse_qs((search or "").lstrip("?")).get("crew", [""])[0]
    return asked or tomorrow.first_crew(view)


def page(view: BoardView, actor: Actor, path: str, search: str, now: datetime) -> list[Child]:
    """Head, page and foot at an address, for the person who asks."""
    return [
        _head(view, actor, path),
        html.Main(_content(view, path, search, now), id="page"),
        _foot(view),
    ]


def framed(view: BoardView, actor: Actor, path: str, content: Markup) -> Markup:
    """Head and foot around a page that is HTML already."""
    head, foot = (Markup(to_html(part)) for part in (_head(view, actor, path), _foot(view)))
    return head + Markup('<main id="page">') + content + Markup("</main>") + foot


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


def _head(view: BoardView, actor: Actor, path: str) -> html.Header:
    settings = view.branch.settings
    links: list[Child] = [
        html.Span(words, **{"aria-current": "page"})
        if address == _known(path or "/")
        else html.A(words, href=address, **_LOADED_WHOLE if address == ADDRESS else {})
        for address, (words, _, _) in _PAGES.items()
        if address in pages_of(actor)
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
