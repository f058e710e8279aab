"""A record that was opened once and extended by entries says what one opened afresh says."""

import json
import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, get_args
from unittest.mock import patch

import pytest
from query_plans import query_plans
from store_cases import AT, PLAN, now_in, stored_rows, tables_into

from crewplan.ledger import Book, findings, questions
from crewplan.ledger.entries import CAUSES
from crewplan.model.closed import days_of
from crewplan.model.expected import Expectation
from crewplan.model.ledger import By, Span
from crewplan.model.plan_row import PlanRow
from crewplan.running.hours_record import record_on
from crewplan.running.owner_view import owner_view, planning_held_to
from crewplan.store import kept_tables
from crewplan.store.asked_before import keep_request
from crewplan.store.closed_months import close_month
from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit, edit_row, enter
from crewplan.store.expectations import kept_expectations
from crewplan.store.place import place_of
from crewplan.store.publishing_plan import Told, publish
from crewplan.store.versions import version_at
from dashboard import kept_record
from dashboard.kept_record import KeptRecord

TODAY = date(2026, 5, 8)
HOURS = (
    "day,stage,person,hours,cause,about,note\n2026-04-22,S1,Ann,8,,,\n"
    "2026-05-04,S1,Bob,2.5,weather,,gusts\n2026-05-05,S3,Cid,7.25,,,\n2026-05-05,S1,Zoe,3,,,\n"
)
PROGRESS = "day,stage,step,share_done\n2026-05-04,S1,rails,0.5\n"
ENTRY = {"day": "2026-05-06", "stage": "S1", "person": "Bob", "hours": "1.5"}
SPANS = (Span(), Span(date(2026, 5, 1), None), days_of("2026-04"))


@pytest.fixture
def worked(branch_store: Store, tmp_path: Path) -> Store:
    """Hours, progress and a plan; Zoe is in hours alone."""
    tables_into(branch_store, tmp_path / "worked", hours_worked=HOURS, progress=PROGRESS, plan=PLAN)
    return branch_store


def opened(store: Store, former: KeptRecord | None = None) -> KeptRecord:
    with store.read() as connection:
        return kept_record.kept_record(connection, former)


def extended(store: Store, former: KeptRecord) -> KeptRecord:
    """The same, where nothing may be read or opened again."""
    with (
        patch.object(kept_record, "read_and_kept", side_effect=AssertionError("read again")),
        patch.object(kept_record, "open_book", side_effect=AssertionError("opened again")),
    ):
        return opened(store, former)


def rows_of(book: Book) -> list[tuple[Any, ...]]:
    """What the columns say, entry by entry."""
    at, words = book.entries, book.words
    return [
        (day, stage, words[step], book.people[person], CAUSES[cause], hours, words[about], words[n])
        for day, stage, step, person, cause, hours, about, n in zip(
            *(getattr(at, name).tolist() for name in at.__slots__), strict=True
        )
    ]


def answers(store: Store, book: Book) -> list[str]:
    """Everything that the page, its exports and the command say of a book, each as text: parts of
    them are told apart by what they are and not by what they say."""
    with store.read() as connection:
        expected = planning_held_to(book, TODAY, kept_expectations(connection))
    said: list[Any] = [rows_of(book), book.gains, book.people, book.costs, book.planned, expected]
    for span in SPANS:
        said += [record_on(book, TODAY, by, span) for by in get_args(By)]
        said += [owner_view(book, TODAY, span, expected), questions(book, span, TODAY)]
    return [repr(each) for each in (*said, findings(book, TODAY))]


def assert_as_afresh(store: Store, record: KeptRecord) -> None:
    fresh = opened(store)
    assert record.version == fresh.version
    assert record.tables.own.rows == fresh.tables.own.rows == now_in(store).rows
    assert record.tables.own.settings == fresh.tables.own.settings
    assert record.book.branch.present == fresh.book.branch.present
    for name, places in fresh.tables.places.items():
        assert record.tables.places[name].tolist() == places.tolist()
    assert answers(store, record.book) == answers(store, fresh.book)


def hours(store: Store) -> None:
    enter(store, "hours_worked", ENTRY, "bob", AT)


def lost_hours(store: Store) -> None:
    told = {
        **ENTRY,
        "cause": "waiting_for_material",
        "about": "rail",
        "note": "never wrote",
    }
    enter(store, "hours_worked", told, "bob", AT)


def a_correction(store: Store) -> None:
    row = next(row for row in stored_rows(store, "hours_worked") if "Bob" in row.cells)
    seen = now_in_version(store)
    values = {"hours": "4", "cause": "rework"}
    edit(store, "hours_worked", row.id, values, "bob", AT, expected_version=seen)


def progress_of_a_new_step(store: Store) -> None:
    told = {"day": "2026-05-05", "stage": "S3", "step": "rails", "share_done": "0.75"}
    enter(store, "progress", told, "bob", AT)


def corrected_progress(store: Store) -> None:
    key, seen = ("2026-05-04", "S1", "rails"), now_in_version(store)
    edit(store, "progress", key, {"share_done": "0.25"}, "bob", AT, expected_version=seen)


def a_closed_month(store: Store) -> None:
    book = opened(store).book
    records = [record_on(book, TODAY, by, days_of("2026-04")) for by in get_args(By)]
    with store.write() as connection:
        version = version_at(connection, None).number
        close_month(connection, "2026-04", records, "otto", AT, version)
    hours(store)


def an_answer(store: Store) -> None:
    """A requirement's answer, kept as a past request too."""
    key, seen = ("J2", "permit"), now_in_version(store)
    values = {"state": "granted", "granted_on": "2026-05-01"}
    former = {"kind": "permit", "state": "asked", "asked_on": "2026-04-10"}
    blank = {"granted_on": "", "refused_on": ""}
    with store.write() as connection:
        edit_row(connection, "requirements", key, values, "ann", AT, expected_version=seen)
        keep_request(
            connection, {**blank, **former}, {**blank, **former, **values}, "Lake office",
            TODAY, "ann", AT,
        )  # fmt: skip


def a_request_taken_back(store: Store) -> None:
    an_answer(store)
    granted = {
        "kind": "permit", "state": "granted", "asked_on": "2026-04-10",
        "granted_on": "2026-05-01", "refused_on": "",
    }  # fmt: skip
    none = {**granted, "state": "open", "asked_on": "", "granted_on": ""}
    with store.write() as connection:
        keep_request(connection, granted, none, "Lake office", TODAY, "ann", AT)


def a_plan(store: Store) -> None:
    """Another crew; with what it expects of a placement."""
    rows = (PlanRow("S1", "Red", date(2026, 5, 4), half_days=2), PlanRow("S3", "Blue", TODAY))
    starts = datetime(2026, 5, 4, 13, tzinfo=UTC)
    one = Expectation("S1", "J1", "Red", (date(2026, 5, 4),), starts, True, 0.8, 0.7, 0.9, 1.0)
    with store.write() as connection:
        seen = version_at(connection, None).number
        publish(connection, rows, "ann", AT, seen, Told(starts.replace(day=3), [one]))


def a_pin(store: Store) -> None:
    row, seen = stored_rows(store, "plan")[0], now_in_version(store)
    key = tuple(json.loads(row.key))
    edit(store, "plan", key, {"pinned": "yes"}, "ann", AT, expected_version=seen)


def nothing(store: Store) -> None:
    """Nobody enters anything."""


def now_in_version(store: Store) -> int:
    with store.read() as connection:
        return version_at(connection, None).number


KINDS = (
    nothing, hours, lost_hours, a_correction, progress_of_a_new_step, corrected_progress,
    a_closed_month, an_answer, a_request_taken_back, a_plan, a_pin,
)  # fmt: skip


@pytest.mark.parametrize("entered", KINDS, ids=lambda one: one.__name__)
def test_an_extended_record_says_what_one_opened_afresh_says(
    worked: Store, entered: Callable[[Store], None]
) -> None:
    former = opened(worked)
    before = answers(worked, former.book)
    entered(worked)
    record = extended(worked, former)
    assert_as_afresh(worked, record)
    if entered in (hours, lost_hours, a_correction, progress_of_a_new_step):
        assert answers(worked, record.book) != before
        assert answers(worked, former.book) == before  # whoever still looks at it sees no change


def test_records_extended_over_and_over_stay_as_those_opened_afresh(worked: Store) -> None:
    """Entries of all kinds in any order, one or several between two looks; seeds, not the clock."""
    for seed in range(3):
        chosen, record = random.Random(seed), opened(worked)
        for _ in range(4):
            for _ in range(chosen.randint(1, 3)):
                chosen.choice((hours, lost_hours, a_correction, corrected_again, a_pin, a_plan))(
                    worked
                )
            record = extended(worked, record)
        assert_as_afresh(worked, record)


def corrected_again(store: Store) -> None:
    """A correction amid rows that stay."""
    row, seen = stored_rows(store, "hours_worked")[2], now_in_version(store)
    hours_h = "6.5" if "6.5" not in row.cells else "5"
    edit(store, "hours_worked", row.id, {"hours": hours_h}, "bob", AT, expected_version=seen)


def test_who_leaves_hours_without_being_in_a_table_is_nobody_of_the_record(worked: Store) -> None:
    """Zoe's only entry was somebody else's: the book is opened again, and not read again."""
    former, seen = opened(worked), now_in_version(worked)
    row = next(row for row in stored_rows(worked, "hours_worked") if "Zoe" in row.cells)
    edit(worked, "hours_worked", row.id, {"person": "Ann"}, "ann", AT, expected_version=seen)
    with patch.object(kept_record, "read_and_kept", side_effect=AssertionError("read again")):
        record = opened(worked, former)
    assert "Zoe" not in record.book.people
    assert_as_afresh(worked, record)


def test_an_import_is_read_afresh(worked: Store, tmp_path: Path) -> None:
    former = opened(worked)
    people = (
        "person,crew,role,cost_per_h\nAnn,Blue,lead,50\nBob,Blue,installer,36\nCid,Red,lead,40\n"
    )
    tables_into(worked, tmp_path / "later", people=people)
    record = opened(worked, former)
    assert [str(cost) for cost in record.book.costs[:1]] == ["50.000000"]
    assert_as_afresh(worked, record)


def test_a_backup_that_was_put_back_is_read_afresh(tmp_path: Path) -> None:
    """Its versions have the numbers of others that were entered before."""
    home, aside = tmp_path / "branch", tmp_path / "aside"
    store = open_store(place_of(str(home)), create=True)
    tables_into(store, tmp_path / "tables", hours_worked=HOURS)
    shutil.copytree(home, aside)
    hours(store)
    former = opened(store)
    shutil.rmtree(home)
    shutil.copytree(aside, home)
    enter(store, "hours_worked", {**ENTRY, "hours": "3"}, "bob", AT.replace(second=1))
    lost_hours(store)
    assert opened(store, former).version > former.version
    assert_as_afresh(store, opened(store, former))


def test_rows_whose_places_do_not_tell_them_apart_are_read_afresh(worked: Store) -> None:
    former = opened(worked)
    places = {**former.tables.places, "hours_worked": former.tables.places["hours_worked"] * 0}
    hours(worked)
    with worked.read() as connection:
        assert kept_tables.brought_up(connection, replace(former.tables, places=places)) is None
        assert kept_tables.brought_up(connection, former.tables) is not None


def test_what_was_entered_is_found_without_reading_a_table_from_end_to_end(worked: Store) -> None:
    former = opened(worked)
    a_correction(worked)
    plans = query_plans(
        worked, lambda connection: kept_tables.brought_up(connection, former.tables)
    )
    assert len(plans) > 3
    assert not [plan for plan in plans if plan.reads_all("table_rows")]
