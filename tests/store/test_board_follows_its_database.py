"""A board on a database: what is written there shows, while a newer look is made beside it."""

import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from grown_demo import grown
from store_cases import AT, folder_with, tables_into

from crewplan.looking import look, looks_from
from crewplan.publishing.plan_rows import plan_rows
from crewplan.running.looks import LiveLooks, OneLook
from crewplan.store.connecting import Store
from crewplan.store.entering import edit, enter
from crewplan.store.importing import accept, look_at
from crewplan.store.publishing_plan import publish
from crewplan.store.reading import newest_version
from dashboard.app import create_app

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
HOURS = {"day": "2026-05-03", "stage": "S1", "person": "Ann", "hours": "3.5"}


def _until(true: Callable[[], object]) -> None:
    end = time.monotonic() + 120
    while not true():
        assert time.monotonic() < end, "it took too long"
        time.sleep(0.1)


@pytest.fixture
def live(branch_store: Store, source: str) -> Iterator[LiveLooks]:
    """Looks that follow the small branch."""
    looks = looks_from(look(source, NOW, "highs", 2), source, NOW, "highs", 2)
    assert isinstance(looks, LiveLooks)
    yield looks
    looks.end()


def test_a_state_that_is_entered_is_on_the_board_a_little_later(
    live: LiveLooks, branch_store: Store, source: str
) -> None:
    client = create_app(live, source=source).server.test_client()
    before = live.now().view
    assert "Made from version 1." in client.get("/").get_data(as_text=True)
    key, values = ("J2", "permit"), {"state": "granted", "granted_on": "2026-05-01"}
    made = edit(branch_store, "requirements", key, values, "bob", AT, expected_version=1)
    _until(lambda: "is being made" in client.get("/").get_data(as_text=True))
    assert live.now().view is before
    _until(lambda: live.now().view is not before)
    states = {row.kind: row.state for row in live.now().view.branch.requirements if row.job == "J2"}
    assert states["permit"] == "granted"
    assert f"Made from version {made}." in client.get("/").get_data(as_text=True)
    assert "nothing here changes" not in client.get("/").get_data(as_text=True)


def test_hours_that_are_entered_are_on_the_board_at_once(
    live: LiveLooks, branch_store: Store, source: str
) -> None:
    client = create_app(live, source=source).server.test_client()
    assert "No hours have been written down yet" in client.get("/hours").get_data(as_text=True)
    before = live.now().view
    enter(branch_store, "hours_worked", HOURS, "bob", AT)
    assert "3.5 h worked so far" in client.get("/hours").get_data(as_text=True)
    assert live.now().view is before


def test_an_import_is_on_the_board_a_little_later(
    live: LiveLooks, branch_store: Store, tmp_path: Path
) -> None:
    jobs = (folder_with(tmp_path / "a") / "jobs.csv").read_text()
    tables_into(branch_store, tmp_path / "b", jobs=jobs.replace("Invented One", "Invented Three"))
    _until(lambda: live.now().view.branch.jobs[0].customer == "Invented Three")


def test_the_published_plan_stands_where_nothing_has_changed(store: Store, source: str) -> None:
    with store.write() as connection:
        accept(connection, look_at(connection, grown(7, 85)), "ann", AT)
    first = look(source, NOW, "highs", 10).view
    rows = plan_rows(first.plan, first.branch.plan)
    with store.write() as connection:
        publish(connection, rows, "ann", AT, newest_version(source))
    second = look(source, NOW, "highs", 10).view
    places = [
        {p.placement.stage: (p.placement.crew, p.placement.start) for p in view.plan.planned}
        for view in (first, second)
    ]
    assert len(places[0]) > 40
    assert places[0] == places[1]


def test_a_folder_without_a_database_is_looked_at_once(tmp_path: Path) -> None:
    source = str(folder_with(tmp_path / "plain"))
    looks = looks_from(look(source, NOW, "highs", 2), source, NOW, "highs", 2)
    assert isinstance(looks, OneLook)
    assert looks.now().news == ()
    page = create_app(looks, source=source).server.test_client().get("/").get_data(as_text=True)
    assert "which nothing here changes" in page
