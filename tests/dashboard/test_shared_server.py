"""The server of a shared board: whom it believes about where a request came from, and how much."""

import http.client
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from shared_board import share
from shared_cases import PASSWORD

from crewplan.store.account_events import events
from crewplan.store.backup import back_up, restore
from crewplan.store.connecting import Store, open_store
from crewplan.store.place import place_of
from dashboard.app import make_server

Ask = Callable[..., tuple[http.client.HTTPResponse, str]]
FAR = "203.0.113.77"


@pytest.fixture
def store(manned: Path, tmp_path: Path) -> Store:
    back_up(place_of(manned), tmp_path / "copy.db")
    return open_store(restore(tmp_path / "copy.db", tmp_path / "own"))


@pytest.fixture
def serve() -> Callable[..., Ask]:
    """Serves an app on a free port; asks it over a socket, as a proxy or anybody would.

    Its threads end with the tests: closing the port under open connections only makes noise.
    """

    def started(store: Store, proxy: str | None, **sharing: object) -> Ask:
        server = make_server(share(store, **sharing).app, proxy=proxy)
        threading.Thread(target=server.run, daemon=True).start()

        def ask(path: str, method: str = "GET", body: str = "", **headers: str) -> tuple:  # type: ignore[type-arg]
            line = http.client.HTTPConnection("127.0.0.1", server.effective_port, timeout=20)
            sent = {name.replace("_", "-"): value for name, value in headers.items()}
            line.request(method, path, body.encode() or None, sent)
            answer = line.getresponse()
            text = answer.read().decode()
            line.close()
            return answer, text

        return ask

    return started


def log_in(ask: Ask, **headers: str) -> int:
    page, _ = ask("/log-in", **headers)
    cookie = (page.getheader("Set-Cookie") or "").partition(";")[0]
    token = cookie.partition("=")[2]
    form = {"Content_Type": "application/x-www-form-urlencoded", "Cookie": cookie}
    body = f"name=Mo&password={PASSWORD.replace(' ', '+')}&to=/&csrf_token={token}"
    answer, _ = ask("/log-in", "POST", body, **form, **headers)
    return answer.status


def last_address(store: Store) -> str:
    with store.read() as connection:
        return events(connection)[-1].address


def test_a_proxy_says_for_whom_it_asks_and_that_it_speaks_tls(
    store: Store, serve: Callable[..., Ask]
) -> None:
    ask = serve(store, "127.0.0.1", names=("board.example",), over_tls=True)
    through = {"Host": "board.example", "X_Forwarded_Proto": "https", "X_Forwarded_For": FAR}
    assert log_in(ask, **through) == 303
    assert last_address(store) == FAR
    # what a client wrote there itself, before the proxy added its own
    assert log_in(ask, **(through | {"X_Forwarded_For": f"192.0.2.200, {FAR}"})) == 303
    assert last_address(store) == FAR
    answer, text = ask("/log-in", Host="board.example")
    assert (answer.status, "https" in text) == (400, True)


def test_nobody_else_is_believed_about_where_they_come_from(
    store: Store, serve: Callable[..., Ask]
) -> None:
    ask = serve(store, None)
    claims = {"X_Forwarded_For": FAR, "X_Forwarded_Proto": "https", "X_Forwarded_Host": "x.example"}
    assert log_in(ask, **claims) == 303
    assert last_address(store) == "127.0.0.1"


def test_the_server_does_not_say_what_it_is_and_reads_no_endless_body(
    store: Store, serve: Callable[..., Ask]
) -> None:
    ask = serve(store, None)
    answer, _ = ask("/log-in")
    assert answer.getheader("Server") is None
    assert answer.getheader("Content-Type") == "text/html; charset=utf-8"
    answer, _ = ask("/log-in", "POST", "x" * 300_000)
    assert answer.status == 413
    answer, text = ask("/log-in", "TRACE", Secret="said back")
    assert answer.status in (401, 403, 405)
    assert "said back" not in text
