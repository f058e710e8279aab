"""From an address to a page."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from urllib.parse import parse_qs

from dash import html
from markupsafe import Markup

from crewplan.model.account import Act, Actor
from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.bringing.shown import ADDRESS, QUESTION
from dashboard.entries.desk import HOW_TO_GET_FORMS, held_view
from dashboard.entries.lists import may_write
from dashboard.entries.notes import Notes
from dashboard.guard.routes import Need
from dashboard.pages import hours, tomorrow, waiting, week
from dashboard.pages.parts import Child, clock_mark
from dashboard.plain_html import to_html
from dashboard.text.access_words import NOT_FOR_YOU
from dashboard.text.tomorrow_words import time_words
from dashboard.text.verdict_words import NO_CONNECTION

_PAGES: Mapping[str, tuple[str, str, Act]] = {
    "/": ("This week", week.QUESTION, "see the week"),
    "/tomorrow": ("Tomorrow", tomorrow.QUESTION, "see tomorrow"),
    "/waiting": ("Waiting", waiting.QUESTION, "see what is awaited"),
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


def pages_of(actor: Actor) -> list[tuple[str, str]]:
    """The pages that somebody may see, in order: path and short name."""
    return [(path, words) for path, (words, _, act) in _PAGES.items() if actor.may(act)]


def question(path: str) -> str:
    """The question of the page at a path; the first page's where there is none."""
    return _PAGES.get(_known(path), _PAGES["/"])[1]


def _known(path: str) -> str:
    return path.rstrip("/") or "/"


def chosen_crew(view: BoardView, search: str) -> str:
    """The crew of a link such as '?crew=Birch', else the first with work."""
    asked = parse_qs((search or "").lstrip("?")).get("crew", [""])[0]
    return asked or tomorrow.first_crew(view)


def page(
    view: BoardView,
    actor: Actor,
    path: str,
    search: str,
    now: datetime,
    signed_in: Sequence[Child] = (),
    store: Store | None = None,
    news: Sequence[str] = (),
) -> list[Child]:
    """Head, page and foot at an address, for the person who asks.

    `view` is what that person may know, and `news` are about it; `signed_in` says who they are
    where the board is shared; `store` has what people wrote down since, where the board has a
    database.
    """
    mine = _may(actor, path)
    content = _content(view, actor, path, search, now, store) if mine else _not_theirs()
    return [
        _head(view, actor, path, signed_in, store, news),
        html.Main(content, id="page"),
        _foot(view, store),
    ]


def framed(
    view: BoardView,
    actor: Actor,
    path: str,
    content: Markup,
    signed_in: Sequence[Child] = (),
    store: Store | None = None,
    news: Sequence[str] = (),
) -> Markup:
    """Head and foot around a page that is HTML already."""
    around = (_head(view, actor, path, signed_in, store, news), _foot(view, store))
    head, foot = (Markup(to_html(part)) for part in around)
    return head + Markup('<main id="page">') + content + Markup("</main>") + foot


def _may(actor: Actor, path: str) -> bool:
    need = page_need(path)
    return need == "signed in" or actor.may(need)


def _not_theirs() -> html.Div:
    return html.Div([html.H1(NOT_FOR_YOU), html.P("The questions above are those that are.")])


def _content(
    view: BoardView, actor: Actor, path: str, search: str, now: datetime, store: Store | None
) -> html.Div:
    match _known(path or "/"):
        case "/":
            kept = week.kept_week(view, now)
            may = store is not None and actor.may("publish")
            return html.Div([kept, _to_publish()]) if may else kept
        case "/tomorrow":
            crew = chosen_crew(view, search)
            held = held_view(store, view, crew, now)
            return tomorrow.tomorrow_page(held, crew, now, Notes(store, actor).of)
        case "/waiting":
            writes = store is not None and actor.may("enter states")
            return waiting.kept_waiting(view, now, writes)
        case "/hours":
            return hours.kept_hours_page(view, now, search, store)
        case _:
            words = "There is no page at this address. Choose one of the questions above."
            return html.Div([html.H1("Nothing here"), html.P(words)])


def _to_publish() -> html.P:
    """The way on from a week that somebody has looked through."""
    link = html.A("Publish this week", href="/enter/publish", className="button", **_LOADED_WHOLE)
    search = html.A(
        "Look for a better week", href="/enter/search", className="button", **_LOADED_WHOLE
    )
    move = html.A("Move a stage", href="/enter/move", className="button", **_LOADED_WHOLE)
    return html.P([link, " It first shows what changes, and who must be told. ", search, move])


def _head(
    view: BoardView,
    actor: Actor,
    path: str,
    signed_in: Sequence[Child],
    store: Store | None,
    news: Sequence[str],
) -> html.Header:
    settings = view.branch.settings
    links: list[Child] = [
        html.Span(words, **{"aria-current": "page"})
        if address == _known(path or "/")
        else html.A(words, href=address, **_LOADED_WHOLE if address == ADDRESS else {})
        for address, words in pages_of(actor)
    ]
    if store is not None and may_write(actor):
        links.append(html.A("Write down", href="/enter", **_LOADED_WHOLE))
    invented = " All of it is invented." if settings.invented else ""
    return html.Header(
        [
            html.P(
                [html.B(settings.name), html.Span(f"As of {time_words(view.asked_at)}.{invented}")]
            ),
            *signed_in,
            html.Nav(links, **{"aria-label": "Questions"}),
            *clock_mark(view),
            *([html.P(" ".join(news), className="news")] if news else []),
            html.P(NO_CONNECTION, className="connection-lost", role="alert"),
        ]
    )


def _foot(view: BoardView, store: Store | None) -> html.Footer:
    days = view.plan.horizon.days
    span = f"Plan for {day_words(days[0])} to {day_words(days[-1])}. " if days else ""
    made = (
        "Made from the folder's tables as they were when the board started, which nothing here"
        f" changes. Start it again to ask anew. {HOW_TO_GET_FORMS}"
        if store is None
        else "What people write down shows at once. When tables, the published plan, a state, a pin"
        " or progress change, and each morning, plan and verdicts are made anew."
    )
    return html.Footer(html.P(f"{span}{made}"))
