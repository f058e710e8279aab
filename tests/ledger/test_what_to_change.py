"""What the record suggests to change. Figures by hand from ledger_cases; money at 40 an hour for
Ann, 30.5 for Bo, 41.25 for Cy."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from builders import job
from hypothesis import given
from hypothesis import strategies as st
from ledger_cases import book_of, day, done, some_hours, worked

from crewplan.ledger import findings
from crewplan.ledger.entries import hours_of, micro_of
from crewplan.ledger.findings import ENOUGH_CASES, WEEKS
from crewplan.model.waiting_rows import LeadTime
from crewplan.model.work_rows import HoursWorked
from crewplan.publishing.findings_text import change_words, evidence_words, findings_cells

LAST = day(40)


def noted(cause, note, *, on=0, who="Ann", hours=1.0, at="S1"):
    return HoursWorked(day(on), at, who, hours, cause=cause, note=note)


def only(book, last=LAST):
    found = findings(book, last)
    assert len(found) == 1
    return found[0]


def test_a_part_that_is_missing_again_and_again_is_named_with_the_drives_back_for_it():
    rows = [noted("missing_tool_or_part", "no End Clamps left", on=on) for on in range(4)]
    rows.append(noted("return_trip", "back for end clamps", on=3, who="Bo", hours=2, at="S3"))
    found = only(book_of(hours_worked=tuple(rows)))
    assert (found.cause, found.subject, found.cases) == ("missing_tool_or_part", "end clamp", 5)
    assert (found.hours, found.cost) == (Decimal(6), Decimal("221.0"))
    assert found.enough
    assert "spares of the end clamp" in change_words(found)


def test_a_drive_back_is_priced_by_people_distance_and_what_was_held_up():
    """One degree north: 111.19 km x 1.3 = 144.55 km by road, 2.891 h one way at 50 km/h.

    Ann and Bo drive back in 7 h, of which 5.782 h are road for each; Cy waits for 3 h."""
    rows = (
        noted("return_trip", "rail", hours=7),
        noted("return_trip", "rail", hours=7, who="Bo"),
        noted("missing_tool_or_part", "rail", hours=3, who="Cy"),
    )
    far = {"jobs": (job("J1", latitude=47.8), job("J2"))}
    found = only(book_of(**far, hours_worked=rows))
    drives = found.drives
    assert drives is not None
    assert (drives.drives, drives.people) == (1, 2)
    assert drives.km == pytest.approx(289.1, abs=0.1)
    assert float(drives.road_h) == pytest.approx(2 * 5.782, abs=0.001)
    assert float(drives.road_cost) == pytest.approx(5.782 * (40 + 30.5), abs=0.1)
    assert drives.road_h + drives.standing_h == found.hours == 17
    assert drives.road_cost + drives.standing_cost == found.cost
    assert "1 drive back by 2 people, 289 km: 11.6 h on the road" in evidence_words(found, "USD")


def test_what_was_missing_and_not_fetched_has_no_drive():
    assert only(book_of(hours_worked=(noted("missing_tool_or_part", "rail"),))).drives is None


def test_too_few_cases_conclude_nothing_and_several_people_on_one_visit_are_one_case():
    rows = tuple(noted("rework", "", who=who) for who in ("Ann", "Bo")) * 3
    found = only(book_of(hours_worked=rows))
    assert (found.cases, found.enough) == (1, False)


def test_what_nobody_noted_is_told_as_not_known_and_asks_to_note_it():
    found = only(book_of(hours_worked=(noted("missing_tool_or_part", "the blue thing"),)))
    assert found.subject == ""
    assert "note what was missing" in change_words(found)


def test_a_permit_that_was_waited_for_is_told_with_how_its_authority_answers():
    """Ten permits of 1 to 10 days: half came within 5, eight of ten within 8 (by hand)."""
    asked = date(2026, 1, 5)
    lead_times = tuple(
        LeadTime("permit", asked, "Hill", asked + timedelta(days=days)) for days in range(1, 11)
    )
    tables = {"jobs": (job("J1", authority="Hill"), job("J2")), "lead_times": lead_times}
    found = only(book_of(**tables, hours_worked=(noted("waiting_for_permit", ""),)))
    assert found.subject == "Hill"
    assert found.answers is not None
    assert (found.answers.requests, found.answers.half_days, found.answers.most_days) == (10, 5, 8)
    assert "half in 5 days, eight of ten in 8" in evidence_words(found, "USD")


def test_only_the_drive_beyond_the_planned_one_is_a_finding():
    """Crews and sites of the builders stand in one place: a planned drive of nothing."""
    near = book_of(hours_worked=(noted("travel", "", hours=1.5),))
    assert only(near).hours == Decimal("1.5")
    # one degree north: 111.19 km x 1.3 / 50 km/h, twice: 5.78 h
    far_job = job("J1", latitude=47.8)
    far = {"jobs": (far_job, job("J2"))}
    assert findings(book_of(**far, hours_worked=(noted("travel", "", hours=5.7),)), LAST) == ()
    beyond = only(book_of(**far, hours_worked=(noted("travel", "", hours=6.78),)))
    assert float(beyond.hours) == pytest.approx(1.0, abs=0.01)


def test_finished_stages_that_took_longer_than_planned_are_told_together():
    """S1 has 40 planned hours and took 46: 6 h too many, at 40 an hour."""
    rows = (worked("Ann", 23), worked("Ann", 23, on=1))
    progress = (done("protect", 1.0, on=1), done("attach", 1.0, on=2))
    found = only(book_of(hours_worked=rows, progress=progress))
    assert (found.cause, found.subject, found.cases) == ("slow", "roof", 1)
    assert (found.hours, found.cost) == (Decimal(6), Decimal(240))


def test_only_the_last_weeks_count():
    old = noted("rework", "", on=0)
    last = day(7 * WEEKS)
    assert findings(book_of(hours_worked=(old,)), last) == ()
    assert len(findings(book_of(hours_worked=(old,)), last - timedelta(days=1))) == 1


@given(st.lists(some_hours, max_size=40))
def test_every_lost_hour_of_the_weeks_is_in_one_finding_and_few_cases_stand_last(rows):
    book = book_of(hours_worked=tuple(rows))
    found = findings(book, LAST)
    for causes in ({"weather", "rework", "other"}, {"travel"}):
        lost = [row for row in rows if row.cause in causes]
        told = sum((one.hours for one in found if one.cause in causes), Decimal(0))
        # crews and sites stand in one place, so no drive was planned; a minute is nobody's loss.
        # Of people who left nobody knows from where they drove: theirs counts whole
        whole = [
            hours_of(micro_of(row.hours))
            for row in lost
            if row.cause != "travel" or row.person in ("Gone", "Away") or row.hours * 60 > 1
        ]
        assert told == sum(whole, Decimal(0))
    enough = [one.enough for one in found]
    assert enough == sorted(enough, reverse=True)
    assert all(one.enough == (one.cases >= ENOUGH_CASES) for one in found)
    assert len(findings_cells(found)) == len(found)
    assert all(cells[0] for cells in findings_cells(found))
