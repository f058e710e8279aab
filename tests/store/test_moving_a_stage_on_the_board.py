"""A manager asks for a stage on a day, sees price, promises and rules, and publishes it pinned."""

import re
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from form_boards import LEAD, MONDAY, OFFICE, OWNER, client_of
from store_cases import now_in, tables_into
from test_publish_on_the_board import IN_HAND, STAGES

from crewplan.looking import look, looks_from
from crewplan.model.account import Actor
from crewplan.model.whatif import Wanted
from crewplan.running.looks import LiveLooks
from crewplan.store.connecting import Store
from crewplan.store.former_plan import standing_plan
from dashboard.app import create_app
from dashboard.entries.questions import MOST_AT_ONCE, Questions

HERE = "/enter/move"
Press = Callable[..., str]


@pytest.fixture
def live(branch_store: Store, source: str, tmp_path: Path) -> Iterator[LiveLooks]:
    tables_into(branch_store, tmp_path / "ready", stages=STAGES, requirements=IN_HAND)
    looks = looks_from(look(source, MONDAY, "highs", 2), source, MONDAY, "highs", 2)
    assert isinstance(looks, LiveLooks)
    yield looks
    looks.end()


@pytest.fixture
def client(live: LiveLooks, source: str) -> FlaskClient:
    return create_app(live, source=source).server.test_client()


def press(client: FlaskClient, **fields: str) -> tuple[int, str]:
    """Send the form, or a button of the answer; status and page."""
    page = client.get(HERE).text
    token = re.search(r'<input[^>]*name="csrf_token"[^>]*>', page)
    assert token is not None
    value = re.search(r'value="([^"]+)"', token[0])
    assert value is not None
    sent = {"csrf_token": value[1], **fields}
    answer = client.post(HERE, data=sent, follow_redirects=True)
    return answer.status_code, answer.text


def answered(client: FlaskClient, **fields: str) -> str:
    """The page once it is worked out."""
    assert press(client, **fields)[0] == 200
    end = time.monotonic() + 300
    while "data-running" in client.get(f"{HERE}/standing").text:
        assert time.monotonic() < end, "no answer came"
        time.sleep(0.2)
    return client.get(HERE).text


def plan_of(store: Store) -> dict[str, tuple[date, bool]]:
    rows = now_in(store).rows.get("plan", ())
    return {row.stage: (row.start_on, row.pinned) for row in rows}


def test_a_stage_is_moved_with_its_price_and_published_pinned(
    client: FlaskClient, branch_store: Store, live: LiveLooks
) -> None:
    days = live.now().view.plan.horizon.days
    (row,) = [one for one in live.now().view.plan.planned if one.placement.stage == "S2"]
    usual = live.now().view.plan.horizon.day_of(row.placement.start)
    other = next(day for day in days[1:3] if day != usual)  # their customer allows both
    page = answered(client, stage="S2", day=other.isoformat(), how="on")
    assert re.search(r"It costs (nothing|[\d.,]+ USD) more", page), page[page.index("<main") :]
    assert "Publish this week, the stage pinned" in page
    assert plan_of(branch_store).get("S2", (None, False))[0] != other  # asking changes nothing
    status, said = press(client, stage="S2", do="publish")
    assert (status, "Published: it is plan" in said) == (200, True)
    assert plan_of(branch_store)["S2"] == (other, True)
    # once: a second click finds nothing left
    assert press(client, stage="S2", do="publish")[0] == 409
    with branch_store.read() as connection:
        plan = standing_plan(connection)
    assert plan is not None
    assert plan.number == 1


def test_a_day_can_be_forbidden(client: FlaskClient, live: LiveLooks) -> None:
    view = live.now().view
    (row,) = [one for one in view.plan.planned if one.placement.stage == "S2"]
    usual = view.plan.horizon.day_of(row.placement.start)
    page = answered(client, stage="S2", day=usual.isoformat(), how="off")
    assert "S2 not on" in page
    assert re.search(r"It costs [\d.,]+ USD more", page)


def test_a_rule_that_speaks_against_it_is_named(client: FlaskClient, live: LiveLooks) -> None:
    """S1 has no forecast that it could be lifted by."""
    day = live.now().view.plan.horizon.days[2]
    page = answered(client, stage="S1", day=day.isoformat(), how="on")
    assert "that cannot be" in page
    assert "Publish this week" not in page
    assert press(client, stage="S1", do="publish")[0] == 409


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"stage": "S9"}, "Choose a stage that is not done."),
        ({"day": "2031-01-01"}, "Choose one of the days"),
        ({"day": "Tuesday"}, "Choose one of the days"),
        ({"crew": "Nobody"}, "There is no such crew."),
    ],
)
def test_what_is_none_of_the_branch_s_is_told_beside_its_field(
    client: FlaskClient, live: LiveLooks, fields: dict[str, str], told: str
) -> None:
    day = live.now().view.plan.horizon.days[0].isoformat()
    status, page = press(client, **({"stage": "S2", "day": day, "how": "on"} | fields))
    assert (status, told in page) == (422, True)


@pytest.mark.parametrize("who", [LEAD, OFFICE, OWNER])
def test_only_whoever_may_publish_may_move(source: str, branch_store: Store, who: Actor) -> None:
    for address in (HERE, f"{HERE}/standing"):
        assert client_of(source, who).get(address).status_code == 403


class Slow:
    """Something that is never worked out."""

    seconds = 1.0

    def __init__(self) -> None:
        self.ended = False

    def result(self) -> None:
        return None

    def end(self) -> None:
        self.ended = True


def test_so_many_are_worked_out_at_once_and_one_a_person() -> None:
    class Looks:
        def __init__(self) -> None:
            self.begun: list[Slow] = []

        def moved(self, _wanted: Wanted) -> Slow:
            self.begun.append(Slow())
            return self.begun[-1]

    looks = Looks()
    questions = Questions(looks)  # type: ignore[arg-type]
    wanted = Wanted("S2", date(2026, 5, 5))
    for number in range(MOST_AT_ONCE):
        assert questions.ask(f"person {number}", wanted)
    assert not questions.ask("one more", wanted)
    assert questions.ask("person 0", replace(wanted, stage="S1"))
    assert [one.ended for one in looks.begun] == [True, False, False]
    questions.drop("person 1")
    assert questions.ask("one more", wanted)
