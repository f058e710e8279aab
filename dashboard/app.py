"""The board as a Dash app, and the server that it runs on."""

import logging
from datetime import UTC, datetime
from secrets import token_bytes
from typing import Any
from urllib.parse import urlencode

import waitress
from dash import ClientsideFunction, Dash, Input, Output, dcc, html
from flask import Flask, Response, jsonify, request
from markupsafe import Markup
from waitress.server import BaseWSGIServer

from crewplan.intake.file_limits import SENT_BYTES
from crewplan.model.account import Actor
from crewplan.model.calendar import zone
from crewplan.running.board_view import BoardView
from crewplan.running.os_user import os_user
from dashboard.asking import asking
from dashboard.bringing.addresses import add_addresses
from dashboard.bringing.desk import BringDesk
from dashboard.bringing.shown import ADDRESS
from dashboard.document import living_document, small_document
from dashboard.guard.doors import Doors, put_up, unshared
from dashboard.guard.forgery import token
from dashboard.guard.refusals import sentence
from dashboard.guard.routes import callback_needs, guarded
from dashboard.plain_html import to_html
from dashboard.quiet import quiet
from dashboard.routes import chosen_crew, framed, page, page_need, question
from dashboard.text.tomorrow_words import time_words

_THREADS = 6
_KEY_BYTES = 32
_MOST_BYTES = 2 * SENT_BYTES
"""Of a request, before anybody looks at it; each address takes less, and says so."""


class _Board(Dash):
    """Dash, with a first document that can be read before its script runs."""

    view: BoardView

    def interpolate_index(self, **parts: Any) -> str:
        search = request.query_string.decode("utf-8", "replace")
        shown = page(self.view, asking(), request.path, search, _now())
        token()  # the script of the page sends it back
        return living_document(_title(self.view, request.path), to_html(shown), parts)


def create_app(view: BoardView, source: str | None = None) -> Dash:
    """The board of one view, nothing fetched from elsewhere.

    `source` is the folder, or the address of the database, that new tables are brought into.

    It is not shared: whoever asks, on this machine's own address, is the person at it.
    """
    server = Flask(__name__, static_folder=None)
    server.secret_key = token_bytes(_KEY_BYTES)
    app = _Board(
        __name__,
        server=server,
        serve_locally=True,
        suppress_callback_exceptions=True,  # pages come and go with their own parts
        update_title=None,
        title="crewplan",
        compress=False,
    )
    app.view = view
    app.layout = html.Div([dcc.Location(id="address", refresh=False), html.Div(id="board")])
    _plain_routes(app, view)
    _bringing(app, view, source)
    _callbacks(app, view)
    doors = Doors(
        who=unshared(Actor(os_user(), "manager")),
        page_need=page_need,
        signed_out=lambda: sentence(401, "Nobody is signed in."),
    )
    put_up(app, doors)
    return app


def _callbacks(app: Dash, view: BoardView) -> None:
    @app.callback(
        Output("board", "children"), Input("address", "pathname"), Input("address", "search")
    )
    def _page(path: str, search: str) -> list[Any]:
        return quiet(page(view, asking(), path, search, _now()))

    app.clientside_callback(
        ClientsideFunction("board", "arrived"), Output("board", "title"), Input("board", "children")
    )
    callback_needs(app, "board.children", "the page at the address")
    callback_needs(app, "board.title", "signed in")


def _plain_routes(app: Dash, view: BoardView) -> None:
    @guarded(app, "/alive", "anybody")
    def _alive() -> Response:
        return jsonify(now=_now().isoformat())

    @guarded(app, "/small/tomorrow", "see tomorrow")
    def _small() -> Response:
        search = request.query_string.decode("utf-8", "replace")
        crew = chosen_crew(view, search)
        shown = page(view, asking(), "/tomorrow", urlencode({"crew": crew}), _now())
        return Response(
            small_document(_title(view, "/tomorrow"), to_html(shown)), mimetype="text/html"
        )


def _bringing(app: Dash, view: BoardView, source: str | None) -> None:
    def document(content: Markup) -> str:
        shown = framed(view, asking(), ADDRESS, content)
        return small_document(_title(view, ADDRESS), shown)

    def said(at: datetime) -> str:
        return time_words(at.astimezone(zone(view.branch.settings)))

    add_addresses(app, BringDesk(source), document, said)


def make_server(app: Dash, host: str = "127.0.0.1", port: int = 0) -> BaseWSGIServer:
    """A server that has its port (`effective_port`; 0 takes a free one) and waits for `run()`."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a busy page load is no warning
    server: BaseWSGIServer = waitress.create_server(
        app.server, host=host, port=port, threads=_THREADS, max_request_body_size=_MOST_BYTES
    )
    return server


def _now() -> datetime:
    return datetime.now(UTC)


def _title(view: BoardView, path: str) -> str:
    return f"{question(path)} {view.branch.settings.name}"
