"""The board as a Dash app, and the server that it runs on."""

import logging
from datetime import UTC, datetime
from secrets import token_bytes
from typing import Any

import waitress
from dash import ClientsideFunction, Dash, Input, Output, dcc, html
from flask import Flask, Response, g, jsonify, request
from markupsafe import Markup
from waitress.server import BaseWSGIServer

from crewplan.model.account import Actor
from crewplan.model.calendar import zone
from crewplan.publishing.reader import write_for
from crewplan.running.board_view import BoardView
from crewplan.running.looks import Looks, OneLook
from crewplan.running.os_user import os_user
from crewplan.store.connecting import Store
from crewplan.store.keys import board_key
from crewplan.store.links import Link
from dashboard.asking import asking
from dashboard.bringing.addresses import add_addresses
from dashboard.bringing.desk import BringDesk
from dashboard.bringing.shown import ADDRESS
from dashboard.calendars import Calendars, add_calendar
from dashboard.day_sheets import add_day_sheets
from dashboard.document import living_document, small_document
from dashboard.entries.all_forms import put_up_forms
from dashboard.entries.desk import Desk, store_of
from dashboard.entries.move import put_up_moves
from dashboard.entries.search import put_up_search
from dashboard.exports import add_exports
from dashboard.guard.account_pages import signed_in
from dashboard.guard.account_routes import add_account_routes, signed_out
from dashboard.guard.doors import Doors, put_up, unshared
from dashboard.guard.forgery import COOKIE, token
from dashboard.guard.own_eyes import seen_by
from dashboard.guard.refusals import sentence
from dashboard.guard.routes import callback_needs, guarded, largest_body
from dashboard.guard.sharing import Sharing
from dashboard.pages.parts import Child
from dashboard.pages.picture import drawn_ahead
from dashboard.phone.addresses import add_phone
from dashboard.phone.addresses import answer as phone_answer
from dashboard.plain_html import to_html
from dashboard.quiet import quiet
from dashboard.routes import chosen_crew, framed, page, page_need, pages_of, question
from dashboard.text.tomorrow_words import time_words

_THREADS = 6
_CONNECTIONS = 2000
"""Browsers keep several open each; beyond the limit nobody new is answered."""
_KEY_BYTES = 32


class _Board(Dash):
    """Dash, with a first document that can be read before its script runs."""

    looks: Looks
    desk: Desk
    calendars: Calendars

    @property
    def view(self) -> BoardView:
        """The last look."""
        return self.looks.now().view

    def interpolate_index(self, **parts: Any) -> str:
        search = request.query_string.decode("utf-8", "replace")
        token()  # the script of the page sends it back
        return living_document(
            _title(self.view, request.path), to_html(self.page(request.path, search)), parts
        )

    def page(self, path: str, search: str) -> list[Child]:
        """The page at an address, as whoever asks may know it."""
        look, actor = self.looks.now(), asking()
        view, store = seen_by(look.view, actor), self.desk.store
        return page(view, actor, path, search, _now(), _signed_in(), store, look.news)


def create_app(
    shown: BoardView | Looks,
    sharing: Sharing | None = None,
    source: str | None = None,
    store: Store | None = None,
) -> Dash:
    """The board of one view or of looks that follow a database; nothing fetched from elsewhere.

    Not shared, whoever asks, on this machine's own address, is the person at it; shared, it is
    for those who have an account, and for the holders of links.

    Args:
        shown: what the pages show.
        sharing: how it is shared; None: not at all.
        source: the folder or address that it was made from; with a database, people write
            into it. None: of no folder.
        store: its database, where that is open already.
    """
    server = Flask(__name__, static_folder=None)
    server.secret_key = board_key(sharing.store) if sharing else token_bytes(_KEY_BYTES)
    server.config["CSRF_COOKIE"] = sharing.csrf_cookie if sharing else COOKIE
    app = _Board(
        __name__,
        server=server,
        serve_locally=True,
        suppress_callback_exceptions=True,  # pages come and go with their own parts
        update_title=None,
        title="crewplan",
        compress=False,
        csrf_token_name=server.config["CSRF_COOKIE"],
    )
    app.looks = OneLook(shown) if isinstance(shown, BoardView) else shown
    app.desk = Desk(lambda: app.view, store or store_of(source))
    app.calendars = Calendars(source, app.desk.store)
    app.layout = html.Div(
        [dcc.Location(id="address", refresh=False), html.Div(id="board"), drawn_ahead()]
    )
    _plain_routes(app)
    _bringing(app, source)
    _callbacks(app)
    put_up_forms(app, app.desk)
    put_up_search(app, app.desk, app.looks)
    put_up_moves(app, app.desk, app.looks)
    add_phone(app, lambda: seen_by(app.view, asking()), chosen_crew, app.desk.store)
    add_day_sheets(app, lambda: seen_by(app.view, asking()), source, app.desk.store)
    add_calendar(app, app.calendars, lambda: seen_by(app.view, asking()))
    add_exports(app, lambda: seen_by(app.view, asking()), app.desk.store)
    if sharing is not None:
        settings = app.view.branch.settings
        add_account_routes(
            app, sharing, settings.name, zone(settings), lambda link: _link_page(app, link)
        )
    server.before_request(lambda: write_for(app.view.branch.settings.locale))
    put_up(app, _doors(sharing))
    return app


def _doors(sharing: Sharing | None) -> Doors:
    if sharing is None:
        return Doors(
            who=unshared(Actor(os_user(), "manager")),
            page_need=page_need,
            signed_out=lambda: sentence(401, "Nobody is signed in."),
            places=pages_of,
        )
    return Doors(
        who=sharing.who,
        page_need=page_need,
        signed_out=signed_out,
        places=pages_of,
        names=sharing.names,
        over_tls=sharing.over_tls,
    )


def _callbacks(app: _Board) -> None:
    @app.callback(
        Output("board", "children"), Input("address", "pathname"), Input("address", "search")
    )
    def _page(path: str, search: str) -> list[Any]:
        return quiet(app.page(path, search))

    app.clientside_callback(
        ClientsideFunction("board", "arrived"), Output("board", "title"), Input("board", "children")
    )
    callback_needs(app, "board.children", "the page at the address")
    callback_needs(app, "board.title", "signed in")


def _plain_routes(app: _Board) -> None:
    @guarded(app, "/alive", "anybody")
    def _alive() -> Response:
        return jsonify(now=_now().isoformat(), signed_in="actor" in g)


def _bringing(app: _Board, source: str | None) -> None:
    def document(content: Markup) -> str:
        look, actor = app.looks.now(), asking()
        view = seen_by(look.view, actor)
        shown = framed(view, actor, ADDRESS, content, _signed_in(), app.desk.store, look.news)
        return small_document(_title(view, ADDRESS), shown)

    def said(at: datetime) -> str:
        return time_words(at.astimezone(zone(app.view.branch.settings)))

    add_addresses(app, BringDesk(source), document, said)


def _link_page(app: _Board, link: Link) -> Response:
    view = seen_by(app.view, link.actor)
    if link.purpose == "calendar":
        return app.calendars.answer(view, link.crew)
    return phone_answer(view, link.crew, link.actor, app.desk.store, whole=False)


def _signed_in() -> list[Child]:
    account = g.get("account")
    return [] if account is None else [signed_in(account)]


def make_server(
    app: Dash, host: str = "127.0.0.1", port: int = 0, proxy: str | None = None
) -> BaseWSGIServer:
    """A server that has its port (`effective_port`; 0 takes a free one) and waits for `run()`.

    Only what comes from `proxy` may say for whom it asks, and whether it came over TLS.
    """
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a busy page load is no warning
    trust: dict[str, Any] = {}
    if proxy is not None:
        trust = {
            "trusted_proxy": proxy,
            "trusted_proxy_count": 1,
            "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-proto"},
        }
    server: BaseWSGIServer = waitress.create_server(
        app.server,
        host=host,
        port=port,
        threads=_THREADS,
        connection_limit=_CONNECTIONS,
        asyncore_use_poll=True,
        ident=None,
        max_request_body_size=2 * largest_body(app),  # a little too much gets our own sentence
        clear_untrusted_proxy_headers=True,
        **trust,
    )
    return server


def _now() -> datetime:
    return datetime.now(UTC)


def _title(view: BoardView, path: str) -> str:
    return f"{question(path)} {view.branch.settings.name}"
