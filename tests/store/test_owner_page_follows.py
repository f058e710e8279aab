"""The owner's page of a board on a database counts the whole record, and what was just entered."""

import csv
import io
import time
from pathlib import Path
from threading import Event
from unittest.mock import patch

import pytest
from form_boards import OWNER, client_of
from sqlalchemy import Connection
from store_cases import AT, PLAN, tables_into

from crewplan.store.connecting import Store
from crewplan.store.entering import enter
from dashboard import owner_books
from dashboard.kept_record import KeptRecord
from dashboard.text.owner_words import BEHIND, BEING_READ

HOURS = "day,stage,person,hours,cause\n2026-05-04,S1,Ann,8,\n2026-05-04,S1,Bob,2.5,weather\n"
LOST = "/hours/export/lost.csv?from=2026-05-01"
LATE = {"day": "2026-05-05", "stage": "S1", "person": "Bob", "hours": "1.5", "cause": "weather"}


@pytest.fixture
def worked(branch_store: Store, tmp_path: Path) -> Store:
    """A database with hours on a stage."""
    tables_into(branch_store, tmp_path / "worked", hours_worked=HOURS, plan=PLAN)
    return branch_store


def weather_h(answer: str) -> float:
    return sum(float(row["weather_h"]) for row in csv.DictReader(io.StringIO(answer)))


def test_what_was_entered_since_the_look_is_in_the_page_and_its_exports(
    worked: Store, source: str
) -> None:
    """The board's own look of this test has no hours at all."""
    client = client_of(source, OWNER)
    with patch.object(owner_books, "_CHEAP_S", 60):  # however slow the machine is
        assert weather_h(client.get(LOST).text) == 2.5
        page = client.get("/hours?from=2026-05-01").text
        assert "Most was lost on J1 (90 USD, most of it weather)" in page  # 2.5 h of Bob at 36
        assert "Added up from version 2." in page
        enter(worked, "hours_worked", LATE, "bob", AT)
        assert weather_h(client.get(LOST).text) == 4
        page = client.get("/hours?from=2026-05-01").text
        assert "Most was lost on J1 (144 USD" in page
        assert "Added up from version 3." in page


def test_while_the_record_is_being_read_the_page_says_so_and_then_what_is_older(
    worked: Store, source: str
) -> None:
    client, may_go_on = client_of(source, OWNER), Event()
    read = owner_books.kept_record

    def slowly(connection: Connection, former: KeptRecord | None) -> KeptRecord:
        assert may_go_on.wait(30)
        return read(connection, former)

    def settled(address: str, words: str) -> str:
        for _ in range(100):
            page = client.get(address).text
            if words not in page:
                return page
            time.sleep(0.1)
        raise AssertionError(f"{words!r} stayed")

    with (
        patch.object(owner_books, "kept_record", slowly),
        patch.object(owner_books, "_WAIT_S", 0.01),
        patch.object(owner_books, "_CHEAP_S", 60),
    ):
        assert BEING_READ in client.get("/hours").text
        assert client.get(LOST).status_code == 503
        may_go_on.set()
        assert "Most was lost on J1 (90 USD" in settled("/hours?from=2026-05-01", BEING_READ)
        may_go_on.clear()
        enter(worked, "hours_worked", LATE, "bob", AT)
        page = client.get("/hours?from=2026-05-01").text
        assert BEHIND in page
        assert "Most was lost on J1 (90 USD" in page
        assert "Added up from version 2." in page
        may_go_on.set()
        page = settled("/hours?from=2026-05-01", BEHIND)
        assert "Most was lost on J1 (144 USD" in page
        assert "Added up from version 3." in page


def test_a_record_to_which_entries_are_added_slowly_rests_before_the_next(
    worked: Store, source: str
) -> None:
    client = client_of(source, OWNER)
    with patch.object(owner_books, "_CHEAP_S", 0), patch.object(owner_books, "_REST", 1000):
        assert weather_h(client.get(LOST).text) == 2.5
        enter(worked, "hours_worked", LATE, "bob", AT)
        assert weather_h(client.get(LOST).text) == 4  # reading all of it is no reason to rest
        enter(worked, "hours_worked", LATE, "bob", AT)
        assert weather_h(client.get(LOST).text) == 4
        assert BEHIND in client.get("/hours?from=2026-05-01").text
