"""The board as a Dash app, and the server that it runs on."""

import logging
from datetime import UTC, datetime
from secrets import token_bytes
from typing import Any
from urllib.parse import urlencode

import waitress
from dash import ClientsideFunction, Dash, Input, Output, dcc, html
from flask import Flask, Response, jsonify, request
from waitress.server import BaseWSGIServer

from crewplan.model.account import Actor
from crewplan.running.board_view import BoardView
from crewplan.running.looks import Looks, OneLook
from crewplan.running.os_user import os_user
from dashboard.asking import asking
from dashboard.document import living_document, small_document
from dashboard.entries.all_forms import put_up_forms
from dashboard.entries.desk import Desk, desk_of
from dashboard.guard.doors import Doors, put_up, unshared
from dashboard.guard.forgery import token
from dashboard.guard.refusals import sentence
from dashboard.guard.routes import callback_needs, guarded
from dashboard.pages.parts import Child
from dashboard.plain_html import to_html
from dashboard.quiet import quiet
from dashboard.routes import chosen_crew, page, page_need, question

_THREADS = 6
_KEY_BYTES = 32


class _Board(Dash):
    """Dash, with a first document that can be read before its script runs."""

    looks: Looks
    desk: Desk

    @property
    def view(self) -> BoardView:
        """The last look."""
        return self.looks.now().view

    def page(self, path: str, search: str) -> list[Child]:
        """The page at an address as it is now."""
        look = self.looks.now()
        return page(look.view, asking(), path, search, _now(), self.desk, look.news)

    def interpolate_index(self, **parts: Any) -> str:
        search = request.query_string.decode("utf-8", "replace")
        shown = self.page(request.path, search)
        token()  # the script of the page sends it back
        return living_document(_title(self.view, request.path), to_html(shown), parts)


def create_app(shown: BoardView | Looks, source: str | None = None) -> Dash:
    """The board of one view or of looks that follow a database; nothing fetched from elsewhere.

    It is not shared: whoever asks, on this machine's own address, is the person at it.

    Args:
        shown: what the pages show.
        source: the folder or address that it was made from; with a database, people can write into
            it. None: of no folder.
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
    app.looks = OneLook(shown) if isinstance(shown, BoardView) else shown
    app.desk = desk_of(lambda: app.view, source)
    app.layout = html.Div([dcc.Location(id="address", refresh=False), html.Div(id="board")])
    _plain_routes(app)
    _callbacks(app)
    put_up_forms(app, app.desk)
    doors = Doors(
        who=unshared(Actor(os_user(), "manager")),
        page_need=page_need,
        signed_out=lambda: sentence(401, "Nobody is signed in."),
    )
    put_up(app, doors)
    return app


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
        return jsonify(now=_now().isoformat())

    @guarded(app, "/small/tomorrow", "see tomorrow")
    def _small() -> Response:
        search = request.query_string.decode("utf-8", "replace")
        crew = chosen_crew(app.view, search)
        shown = app.page("/tomorrow", urlencode({"crew": crew}))
        return Response(
            small_document(_title(app.view, "/tomorrow"), to_html(shown)), mimetype="text/html"
        )


def make_server(app: Dash, host: str = "127.0.0.1", port: int = 0) -> BaseWSGIServer:
    """A server that has its port (`effective_port`; 0 takes a free one) and waits for `run()`."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a busy page load is no warning
    server: BaseWSGIServer = waitress.create_server(
        app.server, host=host, port=port, threads=_THREADS
    )
    return server


def _now() -> datetime:
    return datetime.now(UTC)


def _title(view: BoardView, path: str) -> str:
    return f"{question(path)} {view.branch.settings.name}"
