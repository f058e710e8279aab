"""Logging in and out of a shared board, and one's own account."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from shared_board import Shared, csrf_of, share
from shared_cases import NAMES, PASSWORD
from werkzeug.test import TestResponse

from crewplan.store.account_events import events
from crewplan.store.accounts import close_account, set_password
from crewplan.store.backup import back_up, restore
from crewplan.store.connecting import Store, open_store
from crewplan.store.faults import StoreFault
from crewplan.store.place import place_of
from crewplan.store.sessions import hash_of
from dashboard.guard.return_address import local_address

OTHER = "a ladder is no place for jokes"


@pytest.fixture
def board(manned: Path, tmp_path: Path) -> Shared:
    """A board of its own, so that what one test does to accounts is none of another's business."""
    back_up(place_of(manned), tmp_path / "copy.db")
    return share(open_store(restore(tmp_path / "copy.db", tmp_path / "own")))


@pytest.fixture
def over_tls(manned: Path, tmp_path: Path) -> Shared:
    """The same behind a proxy that speaks TLS."""
    back_up(place_of(manned), tmp_path / "copy.db")
    store = open_store(restore(tmp_path / "copy.db", tmp_path / "own"))
    return share(store, names=("board.example",), over_tls=True)


def log_in(
    client: FlaskClient, name: str = "Mo", password: str = PASSWORD, to: str = "/"
) -> TestResponse:
    fields = {"name": name, "password": password, "to": to, "csrf_token": csrf_of(client)}
    return client.post("/log-in", data=fields)


def post(client: FlaskClient, path: str, **fields: str) -> TestResponse:
    return client.post(path, data={**fields, "csrf_token": csrf_of(client)})


def session_of(client: FlaskClient) -> str:
    cookie = client.get_cookie("crewplan_session")
    return "" if cookie is None else str(cookie.value)


def test_a_name_and_its_password_open_the_board_where_one_wanted_to_go(board: Shared) -> None:
    client = board.client()
    sent_away = client.get("/tomorrow?crew=Birch")
    assert sent_away.location == "/log-in?to=%2Ftomorrow%3Fcrew%3DBirch"
    page = client.get(sent_away.location)
    assert 'type="password"' in page.text
    assert 'autocomplete="current-password"' in page.text.lower()
    assert 'value="/tomorrow?crew=Birch"' in page.text
    assert "onpaste" not in page.text
    answer = log_in(client, to="/tomorrow?crew=Birch")
    assert (answer.status_code, answer.location) == (303, "/tomorrow?crew=Birch")
    shown = client.get(answer.location)
    assert "Signed in as Mo (manager)" in shown.text
    assert 'action="/log-out"' in shown.text


def test_a_session_begins_anew_with_each_log_in(board: Shared) -> None:
    client = board.client()
    planted = "A" * 43  # by somebody who wants to know the session afterwards
    client.set_cookie("crewplan_session", planted)
    log_in(client)
    first = session_of(client)
    assert first != planted
    assert len(first) == 43
    log_in(client, "Olu")
    second = session_of(client)
    assert second != first
    client.set_cookie("crewplan_session", first)  # the one before has ended
    assert client.get("/hours").status_code == 303
    client.set_cookie("crewplan_session", second)
    assert "Signed in as Olu" in client.get("/hours").text


def test_the_session_s_cookie_is_kept_from_scripts_and_other_sites(board: Shared) -> None:
    cookies = log_in(board.client()).headers.getlist("Set-Cookie")
    (session,) = (cookie for cookie in cookies if cookie.startswith("crewplan_session="))
    assert {"HttpOnly", "Path=/", "SameSite=Lax", "Max-Age=604800"} <= set(session.split("; "))
    assert "Domain" not in session


def test_behind_tls_cookies_are_bound_to_it_and_to_this_host(over_tls: Shared) -> None:
    client = over_tls.app.server.test_client()
    plain = client.get("/log-in", headers={"Host": "board.example"})
    assert (plain.status_code, "https" in plain.text) == (400, True)
    at = {"base_url": "https://board.example"}
    page = client.get("/log-in", **at)
    assert page.headers["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains"
    (token,) = page.headers.getlist("Set-Cookie")
    assert token.startswith("__Host-csrf_token=")
    fields = {"name": "Mo", "password": PASSWORD, "to": "/"}
    fields["csrf_token"] = token.partition("=")[2].partition(";")[0]
    done = client.post("/log-in", data=fields, headers={"Origin": "https://board.example"}, **at)
    assert done.status_code == 303
    for cookie in (*page.headers.getlist("Set-Cookie"), *done.headers.getlist("Set-Cookie")):
        parts = set(cookie.split("; "))
        assert cookie.startswith("__Host-")
        assert {"Secure", "Path=/"} <= parts
        assert parts & {"SameSite=Lax", "SameSite=Strict"}
        assert "Domain" not in cookie
    assert client.get("/hours", **at).status_code == 200
    other = client.get("/hours", base_url="https://elsewhere.example")
    assert other.status_code == 400


def test_a_wrong_password_and_an_unknown_name_are_told_the_same(board: Shared) -> None:
    answers = [
        log_in(board.client(), name, OTHER) for name in ("Mo", "Nobody at all", "' OR 1=1 --")
    ]
    assert {answer.status_code for answer in answers} == {401}
    sentences = {
        answer.text.partition('role="alert"')[2].partition("</p>")[0] for answer in answers
    }
    assert len(sentences) == 1
    assert "do not belong together" in sentences.pop()
    assert all(OTHER not in answer.text for answer in answers)


def test_many_tries_are_told_to_wait_in_one_sentence(board: Shared) -> None:
    client = board.client()
    for _ in range(5):
        assert log_in(client, password=OTHER).status_code == 401
    refused = log_in(client)
    assert refused.status_code == 401
    assert "Too many tries: wait 1 second, then try again." in refused.text
    board.now += timedelta(seconds=1)
    assert log_in(client).status_code == 303


def test_logging_out_ends_the_session_and_clears_the_browser(board: Shared) -> None:
    client = board.client()
    log_in(client)
    kept = session_of(client)
    answer = post(client, "/log-out")
    assert (answer.status_code, answer.location) == (303, "/log-in")
    assert answer.headers["Clear-Site-Data"] == '"cache", "storage"'
    assert session_of(client) == ""
    client.set_cookie("crewplan_session", kept)
    assert client.get("/hours").status_code == 303


@pytest.mark.parametrize("how", ["closed", "password", "idle", "a week"])
def test_a_session_that_has_ended_opens_nothing_from_the_next_click_on(
    board: Shared, how: str
) -> None:
    client = board.client("owner")
    assert client.get("/hours").status_code == 200
    assert client.get("/alive").get_json()["signed_in"] is True
    if how == "closed":
        close_account(board.store, NAMES["owner"], "Mo", board.now)
    elif how == "password":
        set_password(board.store, NAMES["owner"], OTHER, "Mo", board.now)
    elif how == "idle":
        board.now += timedelta(hours=14, seconds=1)
    else:
        for _ in range(7 * 24 + 1):
            board.now += timedelta(hours=1)
            client.get("/alive")
    assert client.get("/hours").status_code == 303
    assert client.get("/alive").get_json()["signed_in"] is False
    assert client.get("/log-in").status_code == 200


def test_a_page_left_open_does_not_keep_its_session_alive(board: Shared) -> None:
    client = board.client("owner")
    for _ in range(15):
        board.now += timedelta(hours=1)
        client.get("/alive")
    assert client.get("/alive").get_json()["signed_in"] is False


def test_another_password_asks_for_the_present_one_and_ends_other_sessions(board: Shared) -> None:
    client, elsewhere = board.client("office"), board.client("office")
    wrong = post(client, "/account/password", current=OTHER, new=OTHER)
    assert (wrong.status_code, "do not belong together" in wrong.text) == (403, True)
    weak = post(client, "/account/password", current=PASSWORD, new="crewplan2026")
    assert (weak.status_code, "guessed soon" in weak.text) == (422, True)
    assert elsewhere.get("/account").status_code == 200
    done = post(client, "/account/password", current=PASSWORD, new=OTHER)
    assert (done.status_code, "is changed" in done.text) == (200, True)
    assert client.get("/account").status_code == 200
    assert elsewhere.get("/account").status_code == 303
    assert log_in(board.client(), NAMES["office"]).status_code == 401
    assert log_in(board.client(), NAMES["office"], OTHER).status_code == 303


def test_one_sees_one_s_own_sessions_and_ends_the_others_with_the_password(board: Shared) -> None:
    client, elsewhere = board.client("office"), board.client("office")
    board.client("manager")
    page = client.get("/account").text
    assert page.count("a phone") == 2
    assert "This one, begun" in page
    assert hash_of(session_of(client)) not in page
    assert post(client, "/account/others", current=OTHER).status_code == 403
    assert elsewhere.get("/account").status_code == 200
    assert post(client, "/account/others", current=PASSWORD).status_code == 200
    assert elsewhere.get("/account").status_code == 303
    assert client.get("/account").text.count("a phone") == 1


@pytest.mark.parametrize(
    "to",
    [
        "https://elsewhere.example/", "//elsewhere.example", "/\\elsewhere.example",
        "\\\\elsewhere.example",
        "/\t/elsewhere.example", "/\n/elsewhere.example", "javascript:alert(1)", "elsewhere", "",
        "///elsewhere.example", "http:elsewhere.example", "/%0d%0aSet-Cookie:x=1\r\nX: y",
    ],
)  # fmt: skip
def test_after_logging_in_nobody_is_sent_to_another_site(board: Shared, to: str) -> None:
    assert log_in(board.client(), to=to).location == "/"


@given(st.text(max_size=40))
def test_no_text_at_all_leads_to_another_site(asked: str) -> None:
    found = local_address(asked)
    assert found.startswith("/")
    assert not found.startswith(("//", "/\\"))
    assert found.isprintable()


def test_what_one_types_is_shown_back_as_text_only(board: Shared) -> None:
    client = board.client()
    page = client.get("/log-in", query_string={"to": '/"><script>alert(1)</script>'})
    assert "<script>alert" not in page.text
    board.client("manager")
    device = "<script>alert(1)</script>"
    fields = {"name": "Mo", "password": PASSWORD, "csrf_token": csrf_of(client)}
    client.post("/log-in", data=fields, headers={"User-Agent": device})
    assert device not in client.get("/account").text
    assert "&lt;script&gt;" in client.get("/account").text


def test_a_database_that_does_not_answer_lets_nobody_in(
    board: Shared, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = board.client("manager")

    def fails(self: Store) -> Iterator[None]:
        raise StoreFault("/a/path/crewplan.db: it is damaged")

    monkeypatch.setattr(Store, "read", fails)
    answer = client.get("/hours")
    assert answer.status_code == 503
    assert "path" not in answer.text
    assert answer.text.count("\n") == 1


def test_a_fault_of_the_board_s_own_tells_nothing_of_itself(
    board: Shared, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from dashboard import app

    def fails(*_: object) -> None:
        raise ValueError("the secret of line 7")

    monkeypatch.setattr(app, "seen_by", fails)
    answer = board.client("manager").get("/hours")
    assert (answer.status_code, answer.text.count("\n")) == (500, 1)
    assert "secret" not in answer.text
    assert "failed: ValueError" in caplog.text


def test_what_is_refused_is_written_down_without_secrets(
    board: Shared, caplog: pytest.LogCaptureFixture
) -> None:
    lead = board.client("lead")
    lead.get("/hours")
    lead.get("/link/not-a-token.at-all")
    lead.post("/log-out", data={"csrf_token": "x"})
    log_in(board.client(), "Mo\nforged line", OTHER)
    lead.get("/", headers={"Host": 'evil.example"\n{"what": "forged"}'.replace("\n", "")})
    lines = [record.getMessage() for record in caplog.records if record.name == "crewplan.board"]
    said = "\n".join(lines)
    assert [line.partition('"what": "')[2].partition('"')[0] for line in lines] == [
        "refused", "a link that opens nothing", "a write without its token", "log-in refused",
        "a name that is not ours",
    ]  # fmt: skip
    assert '"who": "Lee", "role": "lead"' in lines[0]
    assert said.count("\n") == 4
    for secret in (OTHER, "not-a-token", session_of(lead)):
        assert secret not in said
    with board.store.read() as connection:
        assert events(connection)[-1].what == "log-in failed"
