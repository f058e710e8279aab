"""The office brings tables: what changes is shown, asked, accepted; nothing else is written."""

import io
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from board_views import one_job_view
from flask.testing import FlaskClient
from store.store_cases import PLAN, count_versions, folder_with, now_in, tables_into

from crewplan.intake import read_own_tables
from crewplan.intake.file_limits import SENT_BYTES
from crewplan.model.account import MAY
from crewplan.running.os_user import os_user
from crewplan.store.connecting import Store, open_store
from crewplan.store.place import place_of
from dashboard.app import create_app
from dashboard.bringing.waiting import MOST_WAITING, WAITS, TooMuchWaits, Waiting
from dashboard.guard.routes import Route, needs_of

STOCK = "item,on_hand\nmid clamp,4\n"
HOURS = "day,stage,person,hours\n2026-05-01,S1,Ann,8\n"
NOW = datetime(2026, 5, 3, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return folder_with(tmp_path / "branch")


@pytest.fixture
def store(folder: Path) -> Store:
    found = open_store(place_of(folder), create=True)
    tables_into(found, folder, hours_worked=HOURS, plan=PLAN)
    return found


@pytest.fixture
def client(folder: Path, store: Store) -> FlaskClient:
    del store
    return create_app(one_job_view(), source=str(folder)).server.test_client()


def token(client: FlaskClient) -> str:
    client.get("/bring")
    cookie = client.get_cookie("_csrf_token")
    assert cookie is not None
    return str(cookie.value)


def send(client: FlaskClient, **tables: str) -> str:
    """Send tables as CSV; the page that comes of it."""
    files = [(io.BytesIO(text.encode()), f"{name}.csv") for name, text in tables.items()]
    sent = {"csrf_token": token(client), "tables": files}
    return client.post("/bring", data=sent, follow_redirects=True).text


def accept(client: FlaskClient, page: str, *drop: str, **other: str) -> str:
    fields = dict(re.findall(r'name="(lot|seen)" value="([^"]*)"', page))
    sent = {"csrf_token": token(client), "drop": list(drop), **fields, **other}
    return client.post("/bring/accept", data=sent, follow_redirects=True).text


def test_a_sent_table_is_shown_and_only_written_when_it_is_accepted(
    client: FlaskClient, store: Store
) -> None:
    page = send(client, stock=STOCK)
    assert "new mid clamp" in page
    assert "All other tables stay as they are." in page
    assert count_versions(store) == 1
    assert "Version 2 has been taken in." in accept(client, page)
    assert now_in(store).rows["stock"][0].on_hand == 4


def test_tables_that_were_not_sent_and_entries_in_them_stay(
    client: FlaskClient, store: Store
) -> None:
    before = now_in(store)
    accept(client, send(client, stock=STOCK))
    after = now_in(store)
    assert {**after.rows, "stock": ()} == {**before.rows, "stock": ()}
    assert after.settings == before.settings
    assert len(after.weather["weather"]) == len(before.weather["weather"])


def test_faults_are_all_told_and_nothing_waits(client: FlaskClient, store: Store) -> None:
    page = send(client, jobs="job,customer\nJ1,x\n", stock="item,on_hand\na,-1\nb,x\n")
    assert "must be put right first" in page
    assert "stock.csv, row 2, column on_hand" in page
    assert "stock.csv, row 3, column on_hand" in page
    assert count_versions(store) == 1
    assert 'name="lot"' not in page


def test_a_stage_with_hours_goes_only_when_it_is_ticked(
    client: FlaskClient, store: Store, folder: Path
) -> None:
    head, *rows = (folder / "stages.csv").read_text().splitlines(keepends=True)
    left = head + "".join(row for row in rows if "S1" not in row)
    page = send(client, stages=left)
    assert "Let S1 go</b>, with its hours worked and published days" in page
    refused = accept(client, page)
    assert "a stage that would go is not ticked" in refused
    assert count_versions(store) == 1
    assert "Version 2 has been taken in." in accept(client, refused, "S1")
    assert now_in(store).rows["hours_worked"] == ()


def test_what_somebody_wrote_in_between_is_shown_before_anything_is_taken_in(
    client: FlaskClient, store: Store, folder: Path, tmp_path: Path
) -> None:
    page = send(client, stock=STOCK)
    others = "item,on_hand\na,1\n"
    tables_into(store, tmp_path / "other", hours_worked=HOURS, plan=PLAN, stock=others)
    again = accept(client, page)
    assert "Somebody has written in the meantime" in again
    assert "gone a" in again
    assert count_versions(store) == 2
    assert "Version 3 has been taken in." in accept(client, again)


def test_files_that_say_what_stands_change_nothing(client: FlaskClient, folder: Path) -> None:
    page = send(client, jobs=(folder / "jobs.csv").read_text())
    assert "Nothing: the files that you sent (jobs) say what version 1 says." in page
    assert "Take this in" not in page


def test_a_board_without_a_database_says_how_to_make_one(tmp_path: Path) -> None:
    client = create_app(one_job_view(), source=str(tmp_path)).server.test_client()
    assert "crewplan import FOLDER" in client.get("/bring").text
    assert "crewplan import FOLDER" in send(client, stock=STOCK)


def test_what_is_sent_is_bounded_in_size_and_number(client: FlaskClient) -> None:
    rules = needs_of(client.application).by_rule
    assert rules["/bring"].at_most_bytes == SENT_BYTES
    rules["/bring"] = Route("import tables", 1_000)  # in place of 64 MB in a test
    sent = {"csrf_token": token(client), "tables": (io.BytesIO(b"x" * 2_000), "jobs.csv")}
    answer = client.post("/bring", data=sent)
    assert (answer.status_code, "crewplan import takes larger" in answer.text) == (413, True)
    rules["/bring"] = Route("import tables", SENT_BYTES)
    files = [(io.BytesIO(b"x"), f"{n}.csv") for n in range(41)]
    answer = client.post("/bring", data={"csrf_token": token(client), "tables": files})
    assert (answer.status_code, "at most 40 at once" in answer.text) == (413, True)


def test_a_post_without_our_own_pages_mark_writes_nothing(
    client: FlaskClient, store: Store
) -> None:
    page = send(client, stock=STOCK)
    assert "Nothing was written" in accept(client, page, csrf_token="made.up")
    assert count_versions(store) == 1


def test_a_made_up_version_is_not_said_to_have_been_taken_in(client: FlaskClient) -> None:
    assert "has been taken in" not in client.get("/bring?version=99").text


def test_what_is_shown_is_escaped(client: FlaskClient) -> None:
    page = send(client, stock="item,on_hand\n<script>alert(1)</script>,4\n")
    assert "<script>alert(1)" not in page
    assert "new &lt;script&gt;alert(1)" in page


def test_only_managers_and_the_office_bring_tables() -> None:
    assert MAY["import tables"] == {"manager", "office"}


def test_what_waits_is_for_the_person_who_sent_it_and_for_half_an_hour(
    folder: Path, client: FlaskClient
) -> None:
    waiting, own = Waiting(), read_own_tables(folder)
    lot = waiting.keep(own, "ann", 10, NOW)
    assert waiting.of(lot.mark, "ann", NOW + WAITS / 2) is lot
    assert waiting.of(lot.mark, "ben", NOW) is None
    assert waiting.of(lot.mark, "ann", NOW + WAITS) is None
    assert waiting.keep(own, "ann", 10, NOW).mark != lot.mark
    assert waiting.of(lot.mark, "ann", NOW) is None
    page = client.get("/bring/look?lot=guessed", follow_redirects=True).text
    assert "no longer waits here" in page
    assert os_user()


@pytest.mark.parametrize(
    "fill",
    [
        lambda keep: [keep(f"p{n}", 10) for n in range(MOST_WAITING)],
        lambda keep: [keep("p0", SENT_BYTES * 3), keep("p1", SENT_BYTES)],
    ],
)
def test_no_more_waits_than_there_is_room_for(
    folder: Path, fill: Callable[[Callable[[str, int], object]], object]
) -> None:
    waiting, own = Waiting(), read_own_tables(folder)
    fill(lambda who, size: waiting.keep(own, who, size, NOW))
    with pytest.raises(TooMuchWaits):
        waiting.keep(own, "late", 10, NOW)
    assert waiting.keep(own, "late", 10, NOW + WAITS + timedelta(seconds=1))
