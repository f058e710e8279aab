"""Writes come from our own pages: a signed token in a cookie and, the same, in what is sent.

The token is bound to the session, so that one from before a log-in is worth nothing after it.
Another site can neither read the cookie nor set the header or field, and may not send at all:
where the browser names the origin of a write, it must be ours.
"""

from hashlib import sha256
from hmac import compare_digest
from secrets import token_urlsafe
from urllib.parse import urlsplit

from dash import dcc
from flask import Response, current_app, g, request
from itsdangerous import Signer

FIELD = "csrf_token"
"""The name of the hidden field of a plain form."""
HEADER = "X-CSRFToken"
"""What the pages' own script sends the cookie back in."""
COOKIE = "_csrf_token"
_NONCE_BYTES = 16
_READS = frozenset({"GET", "HEAD", "OPTIONS"})


def cookie_name() -> str:
    """The cookie's name on this board; with TLS in front it carries the prefix that needs it."""
    name: str = current_app.config.get("CSRF_COOKIE", COOKIE)
    return name


def token() -> str:
    """The token of this request: its cookie's where that one holds, else a new one."""
    if "csrf_token" not in g:
        sent = request.cookies.get(cookie_name(), "")
        g.csrf_token = sent if _holds(sent) else _fresh()
    words: str = g.csrf_token
    return words


def hidden_field() -> dcc.Input:
    """The field that every plain form that writes must carry."""
    return dcc.Input(type="hidden", name=FIELD, value=token())


def forged() -> bool:
    """Whether this request would write without showing that one of our pages sent it."""
    if request.method in _READS:
        return False
    if not _from_here():
        return True
    kept = request.cookies.get(cookie_name(), "")
    sent = request.headers.get(HEADER) or request.form.get(FIELD, "")
    same = compare_digest(sent.encode("utf-8", "replace"), kept.encode("utf-8", "replace"))
    return not (same and _holds(kept))


def keep_cookie(response: Response) -> Response:
    """Give the token along with an answer where the browser does not have it yet."""
    if "csrf_token" in g and request.cookies.get(cookie_name()) != g.csrf_token:
        response.set_cookie(
            cookie_name(),
            g.csrf_token,
            secure=current_app.config["SESSION_COOKIE_SECURE"],
            httponly=False,  # the pages' script sends it back as a header
            samesite="Strict",
        )
    return response


def _from_here() -> bool:
    """Whether the origin that the browser names is ours; older browsers name none."""
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = request.headers.get("Origin")
    return origin is None or urlsplit(origin).netloc == request.host


def _signer() -> Signer:
    return Signer(current_app.secret_key or b"", salt="crewplan forms", digest_method=sha256)


def _bound(nonce: str) -> str:
    return f"{nonce}|{g.get('session_mark', '')}"


def _fresh() -> str:
    nonce = token_urlsafe(_NONCE_BYTES)
    return f"{nonce}.{_signer().get_signature(_bound(nonce)).decode()}"


def _holds(words: str) -> bool:
    nonce, _, signature = words.partition(".")
    return bool(nonce) and _signer().verify_signature(_bound(nonce).encode(), signature)
