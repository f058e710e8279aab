"""Logging in and out, one's own account, and links: the addresses that only a shared board has."""

from collections.abc import Callable
from datetime import datetime
from urllib.parse import urlencode
from zoneinfo import ZoneInfo

from dash import Dash
from flask import Response, g, redirect, request

from crewplan.store.accounts import Account, set_password
from crewplan.store.faults import NotDone
from crewplan.store.links import Link, link_by_token
from crewplan.store.logging_in import log_in, right_password
from crewplan.store.sessions import end, end_others, of_account
from dashboard.guard.account_pages import RETURN_FIELD, log_in_page, own_page
from dashboard.guard.forgery import token
from dashboard.guard.record import note
from dashboard.guard.refusals import refusal, sentence
from dashboard.guard.return_address import local_address
from dashboard.guard.routes import guarded
from dashboard.guard.sharing import Sharing

LOG_IN = "/log-in"
_LINK_GONE = "It was never made, has run out, or was revoked. Ask whoever gave it to you."


def signed_out() -> Response:
    """To the log-in page and back; what is no page to go to only says so."""
    if request.method != "GET" or request.path.startswith("/_"):
        return sentence(401, "Nobody is signed in: load the page again, and log in.")
    asked = request.full_path if request.query_string else request.path
    query = urlencode({RETURN_FIELD: local_address(asked)})
    return _to(LOG_IN if asked == "/" else f"{LOG_IN}?{query}")


def add_account_routes(
    app: Dash,
    sharing: Sharing,
    branch: str,
    zone: ZoneInfo,
    link_page: Callable[[Link], Response],
) -> None:
    """Declare them; `link_page` answers the holder of a link that holds."""
    _logging_in(app, sharing, branch)
    _own_account(app, sharing, branch, zone)

    # a calendar is told by the ending of its address by some programs
    @guarded(app, "/link/<token_sent>/crew.ics", "anybody")
    @guarded(app, "/link/<token_sent>", "anybody")
    def _link(token_sent: str) -> Response:
        link = link_by_token(sharing.store, token_sent, sharing.now())
        if link is None:
            note("a link that opens nothing")
            return refusal(404, "This link opens nothing.", [_LINK_GONE])
        return link_page(link)


def _to(address: str) -> Response:
    answer: Response = redirect(address, code=303, Response=Response)  # type: ignore[assignment]
    return answer


def _address() -> str:
    return request.remote_addr or ""


def _logging_in(app: Dash, sharing: Sharing, branch: str) -> None:
    @guarded(app, LOG_IN, "anybody")
    def _ask() -> Response:
        to = local_address(request.args.get(RETURN_FIELD, "/"))
        return _to(to) if g.account is not None else log_in_page(branch, to)

    @guarded(app, LOG_IN, "anybody", methods=["POST"])
    def _log_in() -> Response:
        to = local_address(request.form.get(RETURN_FIELD, "/"))
        name, password = (request.form.get(field, "") for field in ("name", "password"))
        device = request.headers.get("User-Agent", "")
        done = log_in(sharing.store, name, password, _address(), device, sharing.now())
        if done.refusal:
            note("log-in refused")
            return log_in_page(branch, to, done.refusal, status=401)
        _end_this(sharing)
        return sharing.keep(_to(to), done.token)

    @guarded(app, "/log-out", "signed in", methods=["POST"])
    def _log_out() -> Response:
        _end_this(sharing)
        return sharing.forget(_to(LOG_IN))


def _end_this(sharing: Sharing) -> None:
    """The session that the request came with is over, whatever comes next."""
    account: Account | None = g.account
    if account is not None:
        sent = request.cookies[sharing.session_cookie]
        end(sharing.store, sent, account.name, sharing.now(), _address())


def _own_account(app: Dash, sharing: Sharing, branch: str, zone: ZoneInfo) -> None:
    def shown(told: str = "", status: int = 200) -> Response:
        with sharing.store.read() as connection:
            sessions = of_account(connection, g.account.id)
        token()
        return own_page(g.account, sessions, g.session_mark, zone, told, status)

    def known(now: datetime) -> str:
        """Empty where the password that is asked for again is right."""
        current = request.form.get("current", "")
        return right_password(sharing.store, g.account.name, current, _address(), now)

    @guarded(app, "/account", "signed in")
    def _own() -> Response:
        return shown()

    @guarded(app, "/account/password", "signed in", methods=["POST"])
    def _password() -> Response:
        now = sharing.now()
        refused = known(now)
        if refused:
            return shown(refused, 403)
        try:
            set_password(
                sharing.store,
                g.account.name,
                request.form.get("new", ""),
                g.account.name,
                now,
                address=_address(),
                keep=g.session_mark,
                branch=branch,
            )
        except NotDone as why:
            return shown(f"Nothing was changed: {why}.", 422)
        return shown("The password is changed; all other sessions have ended.")

    @guarded(app, "/account/others", "signed in", methods=["POST"])
    def _others() -> Response:
        now = sharing.now()
        refused = known(now)
        if refused:
            return shown(refused, 403)
        end_others(sharing.store, g.account, g.session_mark, now, g.account.name)
        return shown("All other sessions have ended.")
