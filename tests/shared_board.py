"""A shared board over a marked branch, the clock that it goes by, and browsers that come to it."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from board_views import full_view
from dash import Dash
from flask.testing import FlaskClient
from shared_cases import NAMES, marked

from crewplan.store.accounts import account_of, row_by_name
from crewplan.store.connecting import Store
from crewplan.store.sessions import begin
from dashboard.app import create_app
from dashboard.guard.sharing import Sharing


@dataclass
class Shared:
    """A shared board, the clock that its sessions go by, and a way to come to it as somebody."""

    store: Store
    now: datetime
    app: Dash
    links: dict[str, str]
    """Tokens: of a link that holds, one that ran out, one revoked."""
    strangers: dict[str, str] = field(default_factory=dict)
    """Session tokens that are nobody's any more."""

    def client(self, who: str | None = None) -> FlaskClient:
        """A browser; signed in under a name, in a session of its own."""
        client = self.app.server.test_client()
        if who is not None:
            self.now += timedelta(milliseconds=1)  # the newest session is told by its beginning
            with self.store.write() as connection:
                row = row_by_name(connection, NAMES.get(who, who))
                assert row is not None
                token = begin(connection, account_of(row), "192.0.2.1", "a phone", self.now)
            client.set_cookie("crewplan_session", token)
        return client


def share(store: Store, **sharing: object) -> Shared:
    """The marked branch's board on a store."""
    shared = Shared(store, datetime.now(UTC), None, {})  # type: ignore[arg-type]
    options = Sharing(store, now=lambda: shared.now, **sharing)  # type: ignore[arg-type]
    shared.app = create_app(marked(full_view()), options)
    return shared


def csrf_of(client: FlaskClient, cookie: str = "csrf_token") -> str:
    """The token that the browser has for its present session."""
    client.get("/log-in")
    client.get("/account")
    found = client.get_cookie(cookie)
    assert found is not None
    return str(found.value)
