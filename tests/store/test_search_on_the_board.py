"""A manager has the board look longer, sees how far it is, and ends it."""

import re
import time
from collections.abc import Iterator

import pytest
from board_views import one_job_view
from flask.testing import FlaskClient
from form_boards import LEAD, MONDAY, OFFICE, OWNER, client_of

from crewplan.looking import look, looks_from
from crewplan.model.account import Actor
from crewplan.running.looks import LiveLooks
from crewplan.store.connecting import Store
from dashboard.app import create_app

HERE = "/enter/search"


@pytest.fixture
def live(branch_store: Store, source: str) -> Iterator[LiveLooks]:
    looks = looks_from(look(source, MONDAY, "highs", 2), source, MONDAY, "highs", 2)
    assert isinstance(looks, LiveLooks)
    yield looks
    looks.end()


def press(client: FlaskClient, **fields: str) -> str:
    page = client.get(HERE).text
    token = re.search(
        r'name="csrf_token"[^>]*value="([^"]+)"|value="([^"]+)"[^>]*name="csrf_token"', page
    )
    assert token is not None
    sent = {"csrf_token": token[1] or token[2], **fields}
    return client.post(HERE, data=sent, follow_redirects=True).text


def test_a_search_runs_beside_the_pages_and_ends_with_a_sentence(
    live: LiveLooks, source: str
) -> None:
    client = create_app(live, source=source).server.test_client()
    assert "How long may it look?" in client.get(HERE).text
    page = press(client, minutes="1")
    assert "Enough: keep the best so far" in page
    assert "How long may it look?" not in page
    end = time.monotonic() + 300
    while live.searching():
        assert client.get("/small/tomorrow").status_code == 200
        assert time.monotonic() < end, "the search did not end"
        time.sleep(0.2)
    told = client.get(f"{HERE}/standing").text
    # the small branch is solved to proof at once, so that nothing cheaper can be found
    assert "No better week was found" in told
    assert "data-running" not in told


def test_words_that_the_page_does_not_offer_begin_nothing(live: LiveLooks, source: str) -> None:
    client = create_app(live, source=source).server.test_client()
    press(client, minutes="900")
    press(client, wanted="enough")
    assert live.searched() is None
    assert not live.searching()


@pytest.mark.parametrize("who", [LEAD, OFFICE, OWNER])
def test_only_whoever_may_publish_may_search(source: str, branch_store: Store, who: Actor) -> None:
    for address in (HERE, f"{HERE}/standing"):
        assert client_of(source, who).get(address).status_code == 403


def test_a_board_of_a_folder_says_what_a_search_needs() -> None:
    client = create_app(one_job_view()).server.test_client()
    assert client.get(HERE).status_code == 404
    assert "crewplan import" in client.get(HERE).text
