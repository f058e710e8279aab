"""The one way into the board: each request is asked who sends it and whether they may.

In this order: the name that it was sent to, who asks, how much it brings, whether that person may,
and, where it would write, whether one of our pages sent it.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Any

from dash import Dash, html
from dash.exceptions import DependencyException, InvalidResourceError
from flask import Request, Response, g, request
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import HTTPException

from crewplan.model.account import MAY, Act, Actor
from crewplan.store.faults import StoreFault
from dashboard.asking import answer_to
from dashboard.document import inline_scripts
from dashboard.guard.account_pages import signed_in
from dashboard.guard.forgery import forged, keep_cookie
from dashboard.guard.headers import dress, hash_of, policy
from dashboard.guard.hosts import known_host
from dashboard.guard.record import note
from dashboard.guard.refusals import (
    FORGED,
    NO_DATABASE,
    OWN_FAULT,
    WRONG_CALL,
    WRONG_HOST,
    refusal,
    sentence,
)
from dashboard.guard.routes import FORM_BYTES, Need, Route, needs_of, refuse_unguarded
from dashboard.text.access_words import NOT_FOR_YOU

_CALLBACKS = "/_dash-update-component"
_PAGE: Need = "the page at the address"
_CLOSED = Route("signed in")
"""For what is no address of ours: the answer that there is none is for those signed in."""
_FORM_PARTS = 200
"""Fields and files of one form."""


@dataclass(frozen=True, slots=True)
class Doors:
    """How one board finds out who asks, and what its pages need."""

    who: Callable[[Request], Actor | None]
    """Who sends a request; None: nobody that is known."""
    page_need: Callable[[str], Need]
    """What the page at a path needs."""
    signed_out: Callable[[], Response]
    """The answer to somebody who must say first who they are."""
    places: Callable[[Actor], Sequence[tuple[str, str]]]
    """The pages that somebody may see, first the one to start from: path and name."""
    names: Collection[str] = ()
    """Further host names that the board answers to."""
    over_tls: bool = False
    """Whether people reach it only over TLS, which something in front of it speaks."""


def put_up(app: Dash, doors: Doors) -> None:
    """Guard all addresses and callbacks of a board that is complete.

    Raises:
        Unguarded: where one of them has no need declared.
    """
    refuse_unguarded(app)
    server = app.server
    server.config.update(
        SESSION_COOKIE_SECURE=doors.over_tls,
        MAX_CONTENT_LENGTH=FORM_BYTES,
        MAX_FORM_PARTS=_FORM_PARTS,
    )
    csp = policy([*app.csp_hashes(), *map(hash_of, inline_scripts())])
    server.before_request_funcs.setdefault(None, []).insert(0, lambda: _let_in(app, doors))

    @server.after_request
    def _dressed(response: Response) -> Response:
        return dress(keep_cookie(response), csp, doors.over_tls)

    @server.errorhandler(DependencyException)
    @server.errorhandler(InvalidResourceError)
    def _no_such_file(_error: Exception) -> Response:
        return sentence(404, "There is no such file.")

    @server.errorhandler(Exception)
    def _told(error: Exception) -> ResponseReturnValue:
        if isinstance(error, HTTPException):
            return sentence(error.code or 500, f"{error.name}.")
        note(f"failed: {type(error).__name__}")
        if isinstance(error, StoreFault):
            return sentence(503, NO_DATABASE)
        return sentence(500, OWN_FAULT)


def _let_in(app: Dash, doors: Doors) -> ResponseReturnValue | None:
    if not known_host(doors.names):
        note("a name that is not ours")
        return sentence(400, WRONG_HOST)
    if doors.over_tls and request.scheme != "https":
        return sentence(400, "The board is only read over https.")
    rule = request.url_rule.rule if request.url_rule is not None else ""
    needs = needs_of(app.server)
    route = needs.by_rule.get(rule, _CLOSED)
    request.max_content_length = route.at_most_bytes
    request.max_form_memory_size = route.at_most_bytes
    actor = doors.who(request)
    if actor is not None:
        answer_to(actor)
    need = doors.page_need(request.path) if route.need == _PAGE else route.need
    refused = _refused(actor, need, doors)
    if refused is not None:
        return refused
    if forged():
        note("a write without its token")
        return sentence(403, FORGED)
    if rule == _CALLBACKS:
        return _callback_refused(app, actor, doors)
    return None


def _refused(actor: Actor | None, need: Need, doors: Doors) -> Response | None:
    if need == "anybody":
        return None
    if actor is None:
        return doors.signed_out()
    if may(actor, need):
        return None
    places = doors.places(actor)
    if request.method == "GET" and request.path == "/" and places:
        return Response(status=303, headers={"Location": places[0][0]})
    note("refused")
    links = [html.A(name, href=path) for path, name in places]
    words = [f"You are signed in as {actor.name}, {actor.role}. What you may see:", *links]
    account = g.get("account")
    return refusal(403, f"{NOT_FOR_YOU}.", words, [signed_in(account)] if account else [])


def may(actor: Actor, need: Need) -> bool:
    """Whether somebody may go where this is needed."""
    return need in ("anybody", "signed in") or (need in MAY and actor.may(_act(need)))


def _act(need: Any) -> Act:
    act: Act = need
    return act


def _callback_refused(app: Dash, actor: Actor | None, doors: Doors) -> Response | None:
    """A callback is asked for by its output in what is sent, as Dash itself reads it."""
    body = request.get_json(silent=True)
    output = body.get("output") if isinstance(body, dict) else None
    known = needs_of(app.server).by_callback
    if not isinstance(output, str) or output not in known or not _answers(app, output, body):
        return sentence(400, WRONG_CALL)
    need = known[output]
    if need == _PAGE:
        need = doors.page_need(asked_path(body))
    return _refused(actor, need, doors)


def _answers(app: Dash, output: str, body: dict[str, Any]) -> bool:
    """Whether the callback runs here, and what is sent has the shape that it is declared with."""
    declared = app.callback_map[output]
    parts = [body.get("inputs", []), body.get("state", [])]
    if "callback" not in declared or not all(isinstance(part, list) for part in parts):
        return False
    sent = [_named(each) for part in parts for each in part]
    return isinstance(body.get("outputs"), dict | list) and sent == [
        _named(each) for each in (*declared["inputs"], *declared["state"])
    ]


def _named(part: Any) -> tuple[Any, Any]:
    return (part.get("id"), part.get("property")) if isinstance(part, dict) else (None, None)


def asked_path(body: dict[str, Any]) -> str:
    """The path that the pages' callback asks for; empty: none."""
    paths = [each.get("value") for each in body["inputs"] if _named(each) == _PATH]
    return str(paths[0] or "") if paths else ""


_PATH = ("address", "pathname")


def unshared(who: Actor) -> Callable[[Request], Actor]:
    """Whoever can open a page on this machine's own address is the person at it."""

    def always(_request: Request) -> Actor:
        g.session_mark = ""
        return who

    return always
