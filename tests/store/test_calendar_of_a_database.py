"""Calendars from published plans: by command, by address and by link."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import icalendar
import pytest
from form_boards import LEAD, MANAGER, OTHER_LEAD, client_of, small_view
from store_cases import AT, Done, folder_with, take_in

from crewplan.model.plan_row import PlanRow
from crewplan.store.connecting import Store, open_store
from crewplan.store.links import make_link, revoke_link
from crewplan.store.place import place_of
from crewplan.store.plan_lives import plan_lives
from crewplan.store.publishing_plan import publish
from dashboard.app import create_app
from dashboard.guard.sharing import Sharing

ROWS = (
    PlanRow("S1", "Blue", date(2026, 5, 4), half_days=2),
    PlanRow("S3", "Blue", date(2026, 5, 6), half_days=2),
)


@pytest.fixture
def planned(tmp_path: Path) -> tuple[Store, str]:
    """A database of the small branch, and its folder; two plans were published."""
    folder = folder_with(tmp_path / "b")
    store = open_store(place_of(folder), create=True)
    take_in(store, folder)
    for at, rows in enumerate((ROWS, (replace(ROWS[0], start_on=date(2026, 5, 5)),))):
        with store.write() as connection:
            publish(connection, rows, "ann", AT + timedelta(minutes=at), at + 1)
    return store, str(folder)


def told(data: bytes) -> list[tuple[str, str, str, int]]:
    """Of each event: what, day, status, sequence."""
    return sorted(
        (
            str(event["SUMMARY"]).split(":")[0],
            str(event.decoded("DTSTART").date()),
            str(event["STATUS"]),
            int(event["SEQUENCE"]),
        )
        for event in icalendar.Calendar.from_ical(data).walk("VEVENT")
    )


AFTER_TWO = [
    ("Roof work S1", "2026-05-05", "CONFIRMED", 3),
    ("Roof work S3", "2026-05-06", "CANCELLED", 3),
]


def test_the_command_sends_what_fell_out_of_the_plan_as_cancelled(
    planned: tuple[Store, str], tmp_path: Path, crewplan: Callable[..., Done]
) -> None:
    out = tmp_path / "blue.ics"
    assert crewplan("calendar", planned[1], "--crew", "Blue", "--out", out).returncode == 0
    found = told(out.read_bytes())
    assert found == AFTER_TWO
    uids = [e["UID"] for e in icalendar.Calendar.from_ical(out.read_bytes()).walk("VEVENT")]
    assert len(set(uids)) == 2


def test_the_board_gives_a_crew_s_calendar_to_its_lead_and_not_to_another(
    planned: tuple[Store, str],
) -> None:
    _, folder = planned
    answer = client_of(folder, LEAD).get("/calendar.ics?crew=Blue")
    assert answer.content_type == "text/calendar; charset=utf-8"
    assert told(answer.get_data()) == AFTER_TWO
    assert client_of(folder, OTHER_LEAD).get("/calendar.ics?crew=Blue").status_code == 404
    assert client_of(folder, MANAGER).get("/calendar.ics?crew=Blue").status_code == 200
    assert client_of(folder, MANAGER).get("/calendar.ics?crew=None").status_code == 404
    assert client_of(folder, MANAGER).get("/calendar.ics").status_code == 404


def test_the_calendar_follows_the_next_plan(planned: tuple[Store, str]) -> None:
    store, folder = planned
    client = client_of(folder, LEAD)
    before = client.get("/calendar.ics?crew=Blue").get_data()
    assert client.get("/calendar.ics?crew=Blue").get_data() == before
    with store.write() as connection:
        publish(connection, (ROWS[1],), "ann", AT + timedelta(hours=1), 3)
    states = {row[0]: row[2:] for row in told(client.get("/calendar.ics?crew=Blue").get_data())}
    assert states == {
        "Roof work S1": ("CANCELLED", 4),
        "Roof work S3": ("CONFIRMED", 4),
    }


def test_a_link_opens_the_calendar_without_an_account_until_it_is_revoked(
    planned: tuple[Store, str],
) -> None:
    store, folder = planned
    now = datetime.now(UTC)
    link, token = make_link(store, "calendar", "Blue", timedelta(days=1), "Mo", now)
    client = create_app(small_view(), Sharing(store), folder).server.test_client()
    for ending in ("/crew.ics", ""):
        answer = client.get(f"/link/{token}{ending}")
        assert answer.content_type.startswith("text/calendar")
        assert len(told(answer.get_data())) == 2
    assert client.get("/calendar.ics?crew=Blue").status_code in (303, 401)
    revoke_link(store, link.number, "Mo", now)
    assert client.get(f"/link/{token}/crew.ics").status_code == 404


def test_the_command_makes_a_link_to_the_calendar(
    planned: tuple[Store, str], crewplan: Callable[..., Done]
) -> None:
    made = crewplan("link", "make", planned[1], "--crew", "Blue", "--calendar")
    assert made.stdout.strip().endswith("/crew.ics")


def test_each_published_row_has_the_versions_between_which_it_stood(branch_store: Store) -> None:
    for at, rows in enumerate((ROWS, ROWS[:1], ROWS)):
        with branch_store.write() as connection:
            publish(connection, rows, "ann", AT + timedelta(hours=at), at + 1)
    with branch_store.read() as connection:
        lives = plan_lives(connection)
    told = sorted((life.row.stage, life.since, life.until or 0) for life in lives)
    assert told == [("S1", 2, 0), ("S3", 2, 3), ("S3", 4, 0)]
    ended = next(life for life in lives if life.until is not None)
    assert ended.until_at == AT + timedelta(hours=1)
