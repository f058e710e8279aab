"""The board of one machine: other sites cannot read it, write to it, or run in it."""

from typing import Any

import pytest
from board_views import one_job_view
from dash import Dash
from flask.testing import FlaskClient

from dashboard.app import create_app
from dashboard.guard.routes import Unguarded, guarded, refuse_unguarded

PAGE_CALL: dict[str, Any] = {
    "output": "board.children",
    "outputs": {"id": "board", "property": "children"},
    "inputs": [
        {"id": "address", "property": "pathname", "value": "/hours"},
        {"id": "address", "property": "search", "value": ""},
    ],
}
CALLS = "/_dash-update-component"


@pytest.fixture(scope="module")
def board() -> Dash:
    return create_app(one_job_view())


@pytest.fixture
def client(board: Dash) -> FlaskClient:
    return board.server.test_client()


def token_of(client: FlaskClient) -> str:
    client.get("/")
    cookie = client.get_cookie("_csrf_token")
    assert cookie is not None
    return str(cookie.value)


def test_a_page_of_ours_asks_and_is_answered(client: FlaskClient) -> None:
    answer = client.post(CALLS, json=PAGE_CALL, headers={"X-CSRFToken": token_of(client)})
    assert answer.status_code == 200
    assert "Where do the hours go?" in answer.text


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"X-CSRFToken": ""},
        {"X-CSRFToken": "a.b"},
        {"X-CSRFToken": "the token", "Origin": "http://elsewhere.example"},
        {"X-CSRFToken": "the token", "Origin": "null"},
        {"X-CSRFToken": "the token", "Sec-Fetch-Site": "cross-site"},
    ],
)
def test_what_another_site_sends_writes_nothing(
    client: FlaskClient, headers: dict[str, str]
) -> None:
    token = token_of(client)
    sent = {name: token if words == "the token" else words for name, words in headers.items()}
    answer = client.post(CALLS, json=PAGE_CALL, headers=sent)
    assert (answer.status_code, "Nothing was written" in answer.text) == (403, True)


def test_a_token_that_this_board_never_gave_is_worth_nothing(client: FlaskClient) -> None:
    client.set_cookie("_csrf_token", "made.up")
    answer = client.post(CALLS, json=PAGE_CALL, headers={"X-CSRFToken": "made.up"})
    assert answer.status_code == 403


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.elsewhere.example", "", "[::2]"])
def test_a_name_that_somebody_points_at_this_machine_is_not_answered(
    client: FlaskClient, host: str
) -> None:
    answer = client.get("/", headers={"Host": host})
    assert answer.status_code == 400
    assert "Marigold" not in answer.text


@pytest.mark.parametrize("host", ["127.0.0.1:8050", "localhost", "LOCALHOST:1", "[::1]:8050"])
def test_this_machine_s_own_names_are_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize("path", ["/", "/hours", "/alive", "/assets/pages.js", "/small/tomorrow"])
def test_every_answer_tells_the_browser_to_run_only_our_own_files(
    client: FlaskClient, path: str
) -> None:
    headers = client.get(path, buffered=True).headers
    rules = dict(rule.split(" ", 1) for rule in headers["Content-Security-Policy"].split("; "))
    assert rules["default-src"] == "'none'"
    assert "unsafe" not in rules["script-src"]
    assert rules["frame-ancestors"] == rules["object-src"] == rules["base-uri"] == "'none'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert (headers.get("Cache-Control") == "no-store") != path.startswith("/assets")


@pytest.mark.parametrize(
    "body",
    [
        {}, [], "x", {"output": "nothing.children"}, {"output": ["board.children"]},
        {"output": "board.title"}, {"output": "board.children"}, {**PAGE_CALL, "inputs": 3},
        {**PAGE_CALL, "inputs": [1, 2]}, {**PAGE_CALL, "outputs": None},
        {**PAGE_CALL, "state": [{"id": "x", "property": "y"}]},
    ],
)  # fmt: skip
def test_a_call_that_no_page_makes_gets_a_sentence(client: FlaskClient, body: Any) -> None:
    answer = client.post(CALLS, json=body, headers={"X-CSRFToken": token_of(client)})
    assert answer.status_code == 400
    assert answer.text.count("\n") == 1


def test_a_body_larger_than_any_form_is_not_read(client: FlaskClient) -> None:
    token = token_of(client)
    answer = client.post(CALLS, data=b"x" * 300_000, headers={"X-CSRFToken": token})
    assert answer.status_code in (400, 413)


def test_a_board_with_an_address_that_nobody_guards_is_not_made() -> None:
    board = create_app(one_job_view())
    board.server.add_url_rule("/open", "open", lambda: "")
    with pytest.raises(Unguarded, match="/open"):
        refuse_unguarded(board)


def test_an_address_says_what_it_needs_where_it_is_made() -> None:
    board = create_app(one_job_view())

    @guarded(board, "/entry", "enter hours", methods=["POST"])
    def _entry() -> str:
        return "written"

    refuse_unguarded(board)
    client = board.server.test_client()
    assert client.post("/entry").status_code == 403
    written = client.post("/entry", data={"csrf_token": token_of(client)})
    assert written.text == "written"
