"""The page of hours is made when something was entered, and found made by whoever asks then."""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from unittest.mock import MagicMock, patch

import pytest
from form_boards import small_view
from store_cases import AT, PLAN, count_versions, tables_into

from crewplan.store.connecting import Store
from crewplan.store.entering import enter
from dashboard import owner_books
from dashboard.ahead import HoursAhead
from dashboard.pages import hours

LATE = {"day": "2026-05-05", "stage": "S1", "person": "Bob", "hours": "1.5", "cause": "weather"}


@pytest.fixture
def made(branch_store: Store, tmp_path: Path) -> Iterator[MagicMock]:
    """Pages of hours that are made meanwhile; a database with a plan."""
    tables_into(branch_store, tmp_path / "planned", plan=PLAN)
    with (
        patch.object(owner_books, "_CHEAP_S", 60),  # however slow the machine is
        patch.object(owner_books, "_WAIT_S", 60),
        patch.object(hours, "hours_page", wraps=hours.hours_page) as pages,
    ):
        yield pages


def asked(store: Store) -> None:
    hours.kept_hours_page(small_view(), datetime.now(UTC), "", store)


def test_whoever_asks_after_an_entry_finds_the_page_made(
    branch_store: Store, made: MagicMock
) -> None:
    ahead, view = HoursAhead(branch_store, steady=lambda: 0.0), small_view()
    ahead(view, count_versions(branch_store))
    enter(branch_store, "hours_worked", LATE, "bob", AT)
    before = made.call_count
    ahead(view, count_versions(branch_store))
    assert made.call_count == before + 1
    asked(branch_store)
    ahead(view, count_versions(branch_store))
    assert made.call_count == before + 1


def test_entries_one_after_another_do_not_keep_the_board_making_pages(
    branch_store: Store, made: MagicMock
) -> None:
    seconds = iter([0.0, 10.0, 12.0, 49.0, 51.0, 53.0])
    ahead, view = HoursAhead(branch_store, steady=lambda: next(seconds)), small_view()
    ahead(view, 1)  # from 10 to 12: it rests for 19 times as long, until 50
    enter(branch_store, "hours_worked", LATE, "bob", AT)
    before = made.call_count
    ahead(view, 2)  # at 49
    assert made.call_count == before
    ahead(view, 2)  # at 51
    assert made.call_count == before + 1


def test_where_the_record_is_still_being_read_the_page_is_made_at_a_later_time(
    branch_store: Store, made: MagicMock
) -> None:
    ahead, view = HoursAhead(branch_store, steady=lambda: 0.0), small_view()
    with patch("dashboard.ahead.opened", return_value=None):
        ahead(view, 1)
    before = made.call_count
    ahead(view, 1)
    assert made.call_count == before + 1
