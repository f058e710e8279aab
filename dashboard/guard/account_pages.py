"""The pages about oneself: logging in, who is signed in, one's password and sessions."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from dash import dcc, html
from flask import Response

from crewplan.store.accounts import Account
from crewplan.store.passwords import AT_LEAST, AT_MOST
from crewplan.store.sessions import Session
from dashboard.document import small_document
from dashboard.guard.forgery import hidden_field
from dashboard.pages.parts import Child
from dashboard.plain_html import to_html
from dashboard.text.device_words import device_words
from dashboard.text.tomorrow_words import time_words

RETURN_FIELD = "to"


def small_page(title: str, body: Sequence[Child], status: int = 200) -> Response:
    """A page of its own, without script."""
    main = html.Main([html.H1(title), *body], className="account")
    return Response(small_document(title, to_html(main)), status=status, mimetype="text/html")


def _field(words: str, **attributes: Any) -> html.Label:
    return html.Label([f"{words} ", dcc.Input(required=True, **attributes)])


def _form(action: str, fields: Sequence[Child], words: str) -> html.Form:
    button = html.Button(words, type="submit")
    return html.Form([hidden_field(), *fields, button], action=action, method="post")


def _told(refusal: str) -> list[Child]:
    return [html.P(refusal, role="alert", className="warning")] if refusal else []


def log_in_page(branch: str, to: str, refusal: str = "", status: int = 200) -> Response:
    """Name and password; `to` is where they go after."""
    fields = [
        dcc.Input(type="hidden", name=RETURN_FIELD, value=to),
        _field("Name", type="text", name="name", autoComplete="username", maxLength=100),
        _field(
            "Password",
            type="password",
            name="password",
            autoComplete="current-password",
            maxLength=AT_MOST,
        ),
    ]
    words = f"Who are you? The board of {branch} is for those who have an account."
    forgotten = "Forgotten it? Whoever runs the board sets another: crewplan account password."
    body = [html.P(words), *_told(refusal), _form("/log-in", fields, "Log in"), html.P(forgotten)]
    return small_page("Log in", body, status)


def signed_in(account: Account) -> html.Div:
    """Who is signed in, and the way out; it stands in every page's head."""
    who = f"Signed in as {account.name} ({account.role})"
    return html.Div(
        [
            html.Span(who),
            html.A("Password and sessions", href="/account", **{"data-whole": "document"}),
            _form("/log-out", [], "Log out"),
        ],
        className="signed-in no-print",
        **{"data-signed-in": "yes"},
    )


def _current(account: Account) -> list[Child]:
    """The password asked for again, and whose it is, for browsers that keep passwords."""
    whose = dcc.Input(
        type="text", name="username", value=account.name, autoComplete="username",
        className="for-helpers",
    )  # fmt: skip
    field = _field(
        "Your password now",
        type="password",
        name="current",
        autoComplete="current-password",
        maxLength=AT_MOST,
    )
    return [whose, field]


def own_page(
    account: Account,
    sessions: Sequence[Session],
    mine: str,
    zone: ZoneInfo,
    told: str = "",
    status: int = 200,
) -> Response:
    """One's password, and the sessions that are open; `mine` is this one's token's hash."""
    new = _field(
        f"New password ({AT_LEAST} characters or more, any you like)",
        type="password",
        name="new",
        autoComplete="new-password",
        maxLength=AT_MOST,
    )
    rows = [html.Li(_session_words(session, mine, zone)) for session in sessions]
    body: list[Child] = [
        signed_in(account),
        html.P(html.A("Back to the board", href="/")),
        *_told(told),
        html.H2("Another password"),
        html.P("It ends all sessions but this one."),
        _form("/account/password", [*_current(account), new], "Change the password"),
        html.H2("Open sessions"),
        html.Ul(rows),
        _form("/account/others", _current(account), "End all but this one"),
    ]
    return small_page("Password and sessions", body, status)


def _session_words(session: Session, mine: str, zone: ZoneInfo) -> str:
    which = "This one, begun" if session.token_hash == mine else "Begun"
    where = session.address or "an unknown address"
    return f"{which} {_at(session.begun_at, zone)} from {where}: {device_words(session.device)}"


def _at(instant: str, zone: ZoneInfo) -> str:
    return time_words(datetime.fromisoformat(instant).astimezone(zone))
