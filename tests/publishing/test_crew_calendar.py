"""A crew's calendar, read by two programs that know nothing of ours: icalendar and vobject."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

import icalendar
import pytest
import vobject
from at_a_terminal import crewplan
from builders import branch, job, settings, stage

from crewplan.intake.former_plans import plan_lives_of_folder
from crewplan.intake.published import write_plan
from crewplan.model.branch import Branch
from crewplan.model.people_rows import Crew, Person
from crewplan.model.plan_life import PlanLife
from crewplan.model.plan_row import PlanRow
from crewplan.model.settings import WEEKDAYS
from crewplan.publishing.crew_calendar import calendar_ics
from crewplan.running.calendars import crew_events, standing
from crewplan.running.demo import demo_folder

AT = datetime(2026, 2, 1, 12, tzinfo=UTC)
NASTY = 'Marigold; sons, "and" co\\n\nBEGIN:VEVENT ' + "Ä" * 80


def of_crew(**changes: Any) -> Branch:
    """One crew, one job in two stages, a shift from 07:00 to 16:00 in Chicago's time."""
    values: dict[str, Any] = {
        "settings": settings(shift_start=time(7), shift_h=9.0),
        "people": (Person("Ann", "Blue", "lead", 91337.0, phone="555-0199"),
                   Person("Rob", "Red", "lead", 40.0)),
        "crews": (Crew("Blue", 46.8, -92.1), Crew("Red", 46.8, -92.1)),
        "jobs": (job(customer=NASTY, address="1 Invented Lane; rear, left", phone="555-0142",
                     contact="P. Marigold", access_note="gate 4711", price=77313.0),),
        "stages": (stage("S1"), stage("S2", kind="electrical")),
    }  # fmt: skip
    return branch(**(values | changes))


def ics(of: Branch, lives: Sequence[PlanLife]) -> bytes:
    return calendar_ics(of.settings.name, "Blue", crew_events(of, "Blue", lives))


class Read(NamedTuple):
    """What a reader makes of one event."""

    uid: str
    sequence: int
    start: datetime
    end: datetime
    status: str
    summary: str
    location: str


def by_icalendar(data: bytes) -> list[Read]:
    calendar = icalendar.Calendar.from_ical(data)
    assert not calendar.errors
    return [
        Read(
            str(event["UID"]), int(event["SEQUENCE"]), event.decoded("DTSTART"),
            event.decoded("DTEND"), str(event["STATUS"]), str(event["SUMMARY"]),
            str(event.get("LOCATION", "")),
        )
        for event in calendar.walk("VEVENT")
    ]  # fmt: skip


def by_vobject(data: bytes) -> list[Read]:
    calendar = vobject.readOne(data.decode())
    calendar.validate(raiseException=True)
    return [
        Read(
            event.uid.value, int(event.sequence.value), event.dtstart.value, event.dtend.value,
            event.status.value, event.summary.value,
            event.location.value if hasattr(event, "location") else "",
        )
        for event in getattr(calendar, "vevent_list", [])
    ]  # fmt: skip


def taken_in(books: dict[str, Read], data: bytes) -> int:
    """How a calendar takes a file in: by UID, never an older sequence. The number of changes."""
    changed = 0
    for event in by_icalendar(data):
        known = books.get(event.uid)
        if known != event and (known is None or event.sequence >= known.sequence):
            books[event.uid] = event
            changed += 1
    return changed


def test_two_readers_make_the_same_of_it_whatever_a_customer_is_called() -> None:
    of = of_crew()
    rows = (
        PlanRow("S1", "Blue", date(2026, 5, 4), half_days=3),
        PlanRow("S2", "Red", date(2026, 5, 6)),
    )
    data = ics(of, standing(rows, AT))
    assert by_icalendar(data) == by_vobject(data)
    first, second = by_icalendar(data)
    assert first.summary == f"Roof work S1: {NASTY} (1 of 2)"
    assert first.location == "1 Invented Lane; rear, left"
    assert (first.status, second.status) == ("CONFIRMED", "CONFIRMED")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert data.count(b"\r\nBEGIN:VEVENT\r\n") == 2


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (date(2026, 3, 6), date(2026, 3, 9)),  # clocks go forward on Sunday 8 March
        (date(2026, 10, 30), date(2026, 11, 2)),  # and back on Sunday 1 November
    ],
)
def test_the_shift_begins_at_seven_on_both_sides_of_a_clock_change(
    before: date, after: date
) -> None:
    of = of_crew(jobs=(job(earliest_on=date(2026, 1, 1)),))
    for reader in (by_icalendar, by_vobject):
        found = reader(ics(of, standing((PlanRow("S1", "Blue", before, half_days=4),), AT)))
        local = [event.start.astimezone(ZoneInfo("America/Chicago")) for event in found]
        assert [(at.date(), at.hour, at.minute) for at in local] == [(before, 7, 0), (after, 7, 0)]
        assert [event.end - event.start for event in found] == [timedelta(hours=9)] * 2
    # from 13:00 UTC to 12:00, or the other way: the offset moved by the hour
    hours = [event.start.astimezone(UTC).hour for event in found]
    assert sorted(hours) == [12, 13]


def test_on_the_day_of_the_change_itself_the_hours_are_those_that_pass() -> None:
    days = settings(shift_start=time(0, 30), shift_h=4.0, workdays=WEEKDAYS)
    of = of_crew(settings=days, jobs=(job(earliest_on=date(2026, 1, 1)),))
    [event] = by_icalendar(
        ics(of, standing((PlanRow("S1", "Blue", date(2026, 3, 8), half_days=2),), AT))
    )
    assert event.start == datetime(2026, 3, 8, 6, 30, tzinfo=UTC)  # 00:30 standard time
    assert event.end - event.start == timedelta(hours=4)


def test_a_half_day_takes_its_half() -> None:
    of = of_crew()
    rows = (PlanRow("S1", "Blue", date(2026, 5, 4), "pm", half_days=2),)
    afternoon, morning = by_icalendar(ics(of, standing(rows, AT)))
    assert afternoon.end == datetime(2026, 5, 4, 21, 0, tzinfo=UTC)  # 16:00
    assert morning.start == datetime(2026, 5, 5, 12, 0, tzinfo=UTC)  # 07:00
    assert afternoon.start > datetime(2026, 5, 4, 16, 0, tzinfo=UTC)
    assert morning.end < datetime(2026, 5, 5, 17, 0, tzinfo=UTC)


def test_neither_money_nor_a_telephone_nor_a_verdict_is_in_it() -> None:
    text = ics(of_crew(), standing((PlanRow("S1", "Blue", date(2026, 5, 4)),), AT)).decode()
    plain = text.replace("\r\n ", "")
    assert "P. Marigold" not in plain
    assert "4711" not in plain
    for secret in ("91337", "77313", "555-01", r"\bGO\b", r"\bgo\b", "unknown"):
        assert not re.search(secret, plain)


def life(row: PlanRow, since: int, until: int | None = None) -> PlanLife:
    def at(version: int) -> datetime:
        return AT + timedelta(days=version)

    return PlanLife(row, since, at(since), until, None if until is None else at(until))


def test_what_moves_is_the_same_event_and_what_falls_out_is_cancelled() -> None:
    of = of_crew()
    first = PlanRow("S1", "Blue", date(2026, 5, 4), half_days=4)
    other = PlanRow("S2", "Blue", date(2026, 5, 6), half_days=2)
    moved = replace(first, start_on=date(2026, 5, 7), half_days=2)
    books: dict[str, Read] = {}
    old = [life(first, 1), life(other, 1)]
    assert taken_in(books, ics(of, old)) == 3
    assert taken_in(books, ics(of, old)) == 0  # reading it again changes nothing
    new = [life(first, 1, 2), life(other, 1, 2), life(moved, 2)]
    assert taken_in(books, ics(of, new)) == 3
    assert taken_in(books, ics(of, new)) == 0
    assert sorted((e.summary[:12], e.status) for e in books.values()) == [
        ("Electrical w", "CANCELLED"),
        ("Roof work S1", "CANCELLED"),  # its second day
        ("Roof work S1", "CONFIRMED"),
    ]
    [stays] = [e for e in books.values() if e.status == "CONFIRMED"]
    assert stays.start.date() == date(2026, 5, 7)
    back = [*new[:2], life(moved, 2, 3), life(first, 3)]
    taken_in(books, ics(of, back))
    told = sorted((str(e.start.date()), e.status) for e in books.values())
    assert told == [("2026-05-04", "CONFIRMED"), ("2026-05-05", "CONFIRMED"),
                    ("2026-05-06", "CANCELLED")]  # fmt: skip


def test_a_stage_that_went_to_another_crew_is_cancelled_for_the_first_alone() -> None:
    of = of_crew()
    row = PlanRow("S1", "Blue", date(2026, 5, 4))
    lives = [life(row, 1, 2), life(replace(row, crew="Red"), 2)]
    [blue], [red] = (crew_events(of, crew, lives) for crew in ("Blue", "Red"))
    assert (blue.cancelled, red.cancelled) == (True, False)
    assert blue.uid != red.uid


def test_what_was_taken_out_after_it_took_place_is_not_cancelled() -> None:
    done = PlanRow("S1", "Blue", date(2026, 2, 3))
    lives = [life(done, 1, 30)]  # the plan of 3 March no longer has it: it is done
    assert crew_events(of_crew(jobs=(job(earliest_on=date(2026, 1, 1)),)), "Blue", lives) == ()


def test_a_folder_knows_the_plans_that_it_kept(tmp_path: Path) -> None:
    rows = (PlanRow("S1", "Blue", date(2026, 5, 4)), PlanRow("S2", "Blue", date(2026, 5, 5)))
    write_plan(tmp_path, rows, AT)
    write_plan(tmp_path, rows[:1], AT + timedelta(days=1))
    (tmp_path / "plan.20260101T000000Z.csv").write_text("stage\nS9\n")  # tells nothing
    lives = plan_lives_of_folder(tmp_path, rows[:1])
    events = crew_events(of_crew(), "Blue", lives)
    assert [(e.cancelled, e.sequence) for e in events] == [(False, 1), (True, 2)]


def test_the_command_writes_a_file_that_a_second_call_writes_again(tmp_path: Path) -> None:
    out = tmp_path / "fir.ics"
    words = ("calendar", demo_folder(), "--crew", "Fir", "--out", out)
    done = crewplan(*words)
    assert (done.returncode, done.stdout) == (0, "")
    first = out.read_bytes()
    assert len(by_vobject(first)) > 0
    assert by_icalendar(first) == by_vobject(first)
    crewplan(*words)
    assert out.read_bytes() == first
    wrong = crewplan("calendar", demo_folder(), "--crew", "Nobody")
    assert (wrong.returncode, "no crew of this branch" in wrong.stderr) == (64, True)
