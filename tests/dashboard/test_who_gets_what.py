"""Every address and every callback of a shared board, asked by everybody: what is sent."""

import json
import re
from itertools import product
from typing import Any

import pytest
from board_views import CREWS
from flask.testing import FlaskClient
from shared_board import Shared, csrf_of
from shared_cases import LINKED, money_in, others_in
from werkzeug.test import TestResponse

from crewplan.model.account import MAY, ROLES
from dashboard.exports import PAGE_EXPORTS
from dashboard.guard.refusals import FORGED
from dashboard.guard.routes import Need, needs_of
from dashboard.routes import page_need
from dashboard.tables.owner_tables import EXPORTS

CALLS = "/_dash-update-component"
PAGES = ("/", "/tomorrow", "/tomorrow/", "/waiting", "/hours", "/none-such")
SEARCHES = ("", *(f"?crew={crew}" for crew in CREWS))
STRANGERS = ("nobody", "expired", "closed", "made up")
EVERYBODY = (*ROLES, *STRANGERS)


def writes(shared: Shared) -> list[str]:
    """Every address that takes a POST."""
    rules = shared.app.server.url_map.iter_rules()
    found = sorted({rule.rule for rule in rules if "POST" in (rule.methods or set())})
    assert {"/log-in", "/log-out", "/account/password", "/bring", "/bring/accept", CALLS} < {*found}
    return found


def addresses(shared: Shared) -> list[tuple[str, Need]]:
    """An example or more of every rule of the board, with what it needs."""
    examples = {
        "/<path:path>": [page for page in PAGES if page != "/"],
        "/assets/<path:filename>": ["/assets/board.css", "/assets/../app.py", "/assets/none"],
        "/_dash-component-suites/<string:package_name>/<path:fingerprinted_path>": [
            "/_dash-component-suites/dash/dash-renderer/build/dash_renderer.min.js",
            "/_dash-component-suites/os/path.py",
        ],
        "/link/<token_sent>": [f"/link/{token}" for token in (*shared.links.values(), "x.y")],
        "/link/<token_sent>/crew.ics": [
            f"/link/{token}/crew.ics" for token in (*shared.links.values(), "x.y")
        ],
        "/sheets.pdf": ["/sheets.pdf?day=2026-05-09", "/sheets.pdf?day=soon"],
        "/calendar.ics": [f"/calendar.ics{search}" for search in SEARCHES],
        "/hours/export/<name>.<kind>": [
            *(f"/hours/export/{name}.csv" for name in EXPORTS),
            "/hours/export/all.xlsx",
            "/hours/export/all.csv?from=2026-04-01",
        ],
        **{
            f"/{page}/export/<name>.<kind>": [
                *(f"/{page}/export/{name}.csv" for name in exports.sheets),
                f"/{page}/export/all.xlsx",
                f"/{page}/export/none.csv",
            ]
            for page, exports in PAGE_EXPORTS.items()
        },
        "/small/tomorrow": [f"/small/tomorrow{search}" for search in SEARCHES],
    }
    found = []
    for rule, route in needs_of(shared.app.server).by_rule.items():
        for address in examples.get(rule, [rule]):
            is_page = route.need == "the page at the address"
            found.append((address, page_need(address) if is_page else route.need))
    return found


def come(shared: Shared, who: str) -> FlaskClient:
    """A browser of somebody: of a role, or with a session that is none any more."""
    client = shared.client(who if who in ROLES else None)
    if who in STRANGERS[1:]:
        client.set_cookie("crewplan_session", shared.strangers[who])
    return client


def may(who: str, need: Need) -> bool:
    if need == "anybody":
        return True
    return who in ROLES and (need == "signed in" or who in MAY[need])  # type: ignore[index]


def as_they_may_know(body: str, who: str, address: str) -> None:
    """Fail where a body holds what somebody must not know."""
    if address.startswith("/link/"):
        assert money_in(body) == []
        assert others_in(body, [LINKED]) == []
    elif who == "lead":
        assert money_in(body) == []
        # the crew that they asked for may be said back to them, and nothing else
        asked = address.partition("?crew=")[2] or "no crew"
        echo = rf"There is no crew called (&#x27;)?\W*{asked}|[?]crew={asked}"
        assert others_in(re.sub(echo, "", body)) == []
    elif who in STRANGERS:
        assert money_in(body) == []
        assert others_in(body, ()) == []


def readable(answer: TestResponse) -> str:
    return answer.get_data().decode("utf-8", "replace")


def test_every_rule_says_what_it_needs(shared: Shared) -> None:
    rules = {rule.rule for rule in shared.app.server.url_map.iter_rules()}
    assert rules == set(needs_of(shared.app.server).by_rule)
    assert {"/log-in", "/log-out", "/account", "/link/<token_sent>", "/small/tomorrow"} < rules


@pytest.mark.parametrize("who", EVERYBODY)
def test_every_address_answers_each_as_they_may_know(shared: Shared, who: str) -> None:
    client = come(shared, who)
    asked = 0
    for address, need in addresses(shared):
        answer = client.get(address, buffered=True)
        told = (who, address, need, answer.status_code)
        if answer.status_code == 405:  # it is only written to
            assert address in writes(shared), told
        elif may(who, need):
            expected = {200, 303, 404} if need == "anybody" else {200, 404}
            assert answer.status_code in expected, told
        elif who in ROLES:
            own_page = answer.status_code == 303 and answer.location == "/tomorrow"
            assert answer.status_code == 403 or (address == "/" and own_page), told
        else:
            to_log_in = answer.status_code == 303 and answer.location.startswith("/log-in")
            assert to_log_in or answer.status_code == 401, told
        if not address.startswith(("/assets/", "/_dash-component-suites/")):
            as_they_may_know(readable(answer), who, address)
            assert answer.headers.get("Cache-Control") == "no-store" or "favicon" in address, told
        assert "Traceback" not in readable(answer)[:100_000], told
        asked += 1
    assert asked >= 30


def call(path: str, search: str) -> dict[str, Any]:
    return {
        "output": "board.children",
        "outputs": {"id": "board", "property": "children"},
        "inputs": [
            {"id": "address", "property": "pathname", "value": path},
            {"id": "address", "property": "search", "value": search},
        ],
    }


def calls(shared: Shared) -> list[tuple[str, str, dict[str, Any], Need]]:
    """Every callback, the pages' own for every page and crew."""
    found = []
    for output, need in needs_of(shared.app.server).by_callback.items():
        if need == "the page at the address":
            found += [
                (path, search, call(path, search), page_need(path))
                for path, search in product(PAGES, SEARCHES)
            ]
        else:
            found.append(("/", "", {"output": output}, need))
    return found


@pytest.mark.parametrize("who", EVERYBODY)
def test_every_callback_answers_each_as_they_may_know(shared: Shared, who: str) -> None:
    assert set(shared.app.callback_map) == set(needs_of(shared.app.server).by_callback)
    client = come(shared, who)
    headers = {"X-CSRFToken": csrf_of(client)}
    for path, search, body, need in calls(shared):
        answer = client.post(CALLS, json=body, headers=headers)
        told = (who, path, search, need, answer.status_code)
        runs_here = "callback" in shared.app.callback_map[body["output"]]
        if who not in ROLES:
            assert answer.status_code == 401, told
        elif not runs_here:
            assert answer.status_code == 400, told
        else:
            assert answer.status_code == (200 if may(who, need) else 403), told
            if path == "/" and not may(who, need):
                assert "Location" not in answer.headers
        as_they_may_know(readable(answer), who, f"{path}{search}")


def test_what_a_lead_must_not_know_is_there_for_those_who_may(shared: Shared) -> None:
    """Without this, the tests above could not fail."""
    week = readable(come(shared, "manager").get("/"))
    assert "42424" in money_in(week)
    assert {"Birch", "Cedar"} <= set(others_in(week))
    assert "phone-" in week
    birch = readable(come(shared, "manager").get("/tomorrow?crew=Birch"))
    assert "Customer Birch" in birch
    own = readable(come(shared, "lead").get("/tomorrow"))
    assert "Customer Alder" in own
    assert "GO" in own


def test_a_link_opens_its_crew_s_day_and_nothing_else(shared: Shared) -> None:
    client = shared.client()
    opened = client.get(f"/link/{shared.links['open']}?crew=Alder")
    assert opened.status_code == 200
    assert f"Customer {LINKED}" in opened.text
    assert "Monday 4 May 2026" in opened.text
    assert "<form" not in opened.text
    assert 'href="/' not in re.sub('href="/(assets|small/phone.css)', "", opened.text)
    assert client.get_cookie("crewplan_session") is None
    for path in PAGES:
        assert client.get(path).status_code == 303
    for state in ("run out", "revoked"):
        refused = client.get(f"/link/{shared.links[state]}")
        assert (refused.status_code, others_in(refused.text)) == (404, [])


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "TRACE", "OPTIONS", "HEAD"])
@pytest.mark.parametrize("who", ["lead", "nobody"])
def test_no_other_way_of_asking_gets_past(shared: Shared, who: str, method: str) -> None:
    client = come(shared, who)
    token = csrf_of(client)
    override = {"X-HTTP-Method-Override": "GET", "X-CSRFToken": token, "X-Original-URL": "/hours"}
    for address, need in addresses(shared):
        answer = client.open(address, method=method, headers=override, buffered=True)
        told = (who, method, address, answer.status_code)
        assert answer.status_code < 500, told
        if not address.startswith(("/assets/", "/_dash-component-suites/")):
            as_they_may_know(readable(answer), who, address)
        if method == "HEAD" and not may(who, need) and answer.status_code != 405:
            assert answer.status_code in (303, 401, 403), told
        if who == "lead" and need != "anybody" and not may(who, need):
            assert answer.status_code in (303, 403, 405), told


@pytest.mark.parametrize("token", ["", "wrong", "of another session", "of before the log-in"])
def test_no_write_without_the_token_of_this_very_session(shared: Shared, token: str) -> None:
    client = shared.client("manager")
    good = csrf_of(client)
    sent = {
        "": "",
        "wrong": good[:-9] + ("A" if good[-9] != "A" else "B") + good[-8:],
        "of another session": csrf_of(shared.client("manager")),
        "of before the log-in": csrf_of(shared.client()),
    }[token]
    for kept in (good, sent):  # also where another site could plant a cookie
        client.set_cookie("csrf_token", kept)
        for path in writes(shared):
            by_header = client.post(path, json=call("/", ""), headers={"X-CSRFToken": sent})
            by_field = client.post(path, data={"csrf_token": sent})
            for answer in (by_header, by_field):
                told = (path, answer.status_code, FORGED in answer.text)
                assert told == (path, 403, True)
    assert client.get("/account").status_code == 200  # and the session goes on


def test_a_write_with_its_token_is_heard(shared: Shared) -> None:
    for path in writes(shared):
        client = shared.client("manager")
        headers = {"X-CSRFToken": csrf_of(client)}
        answer = client.post(path, json=call("/", ""), headers=headers)
        assert FORGED not in answer.text, path


def test_what_a_callback_sends_is_what_a_page_shows(shared: Shared) -> None:
    client = shared.client("lead")
    sent = client.post(CALLS, json=call("/tomorrow", ""), headers={"X-CSRFToken": csrf_of(client)})
    words = json.dumps(sent.get_json())
    assert "Customer Alder" in words
    assert "Signed in as Lee (lead)" in words
