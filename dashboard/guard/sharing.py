"""A shared board: sessions in a cookie, the names it is known by, and whether TLS is in front."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from flask import Request, Response, g

from crewplan.model.account import Actor
from crewplan.store.accounts import Account
from crewplan.store.connecting import Store
from crewplan.store.sessions import LASTS_AT_MOST, account_by_token, hash_of

_TLS_PREFIX = "__Host-"
"""A browser takes such a cookie only over TLS, for this host alone and all of its paths."""

_BY_ITSELF = frozenset({"/alive"})
"""What an open page asks for with nobody there."""


@dataclass(frozen=True, slots=True)
class Sharing:
    """How a board is shared."""

    store: Store
    names: tuple[str, ...] = ()
    """Host names that it is reached by, in small letters."""
    over_tls: bool = False
    """A proxy in front speaks TLS to the browsers."""
    now: Callable[[], datetime] = lambda: datetime.now(UTC)

    @property
    def session_cookie(self) -> str:
        """Its name."""
        return f"{_TLS_PREFIX if self.over_tls else ''}crewplan_session"

    @property
    def csrf_cookie(self) -> str:
        """Its name."""
        return f"{_TLS_PREFIX if self.over_tls else ''}csrf_token"

    def account(self, request: Request) -> Account | None:
        """Whose session a request carries; None: nobody's."""
        token = request.cookies.get(self.session_cookie, "")
        account = None
        if token:
            uses = request.path not in _BY_ITSELF
            account = account_by_token(self.store, token, self.now(), uses=uses)
        g.session_mark = hash_of(token) if account is not None else ""
        g.account = account
        return account

    def who(self, request: Request) -> Actor | None:
        """Who asks, in the role and for the crews that they have at this moment."""
        account = self.account(request)
        return None if account is None else account.actor

    def keep(self, response: Response, token: str) -> Response:
        """Give a session to the browser; its script cannot read it."""
        response.set_cookie(
            self.session_cookie,
            token,
            max_age=LASTS_AT_MOST,
            secure=self.over_tls,
            httponly=True,
            samesite="Lax",  # a link from a message opens the board; nothing is written by reading
        )
        return response

    def forget(self, response: Response) -> Response:
        """Take it away again, with what the browser keeps of the board."""
        response.delete_cookie(
            self.session_cookie, secure=self.over_tls, httponly=True, samesite="Lax"
        )
        response.headers["Clear-Site-Data"] = '"cache", "storage"'
        return response
