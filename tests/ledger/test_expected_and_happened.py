"""What published plans expected against what happened. All counts by hand; the interval of 18 of 20
is scipy's own, which another outside check holds to its published table."""

from datetime import UTC, datetime, timedelta

import pytest
from ledger_cases import book_of, day, done, worked

from crewplan.ledger import expected_and_happened
from crewplan.ledger.expected import standing
from crewplan.model.expected import Expectation, KeptExpectation

MIDNIGHT = datetime(2026, 5, 4, tzinfo=UTC)


def said(plan=1, *, at="S1", on=0, days=1, asked=-1, p_go=0.8, p_finish=0.8, p_ready=1.0, lost=1.0,
         exposed=True):  # fmt: skip
    """A plan made at noon of the day `asked` has the stage from seven in the morning of `on`."""
    expected = Expectation(
        at, "J1", "Alder", tuple(day(on + more) for more in range(days)),
        MIDNIGHT + timedelta(days=on, hours=7), exposed, p_go, p_finish, p_ready, lost,
    )  # fmt: skip
    return KeptExpectation(plan, MIDNIGHT + timedelta(days=asked, hours=12), expected)


def bins(found, of):
    return [one for one in found.bins if one.of == of]


def test_the_newest_plan_before_the_start_counts_and_what_it_left_out_does_not():
    first, later = said(1, on=3, asked=-1), said(2, on=3, asked=1, p_go=0.9)
    after_start = said(3, on=3, asked=3, p_go=0.1)
    assert standing([first, later, after_start]) == [later]
    moved = said(2, at="S3", on=5, asked=1)
    assert standing([first, moved]) == [moved]  # plan 2 has no S1


def test_what_is_said_of_the_rest_of_a_visit_that_began_is_left_out():
    whole, rest = said(1, on=0, days=3, asked=-1), said(2, on=1, days=2, asked=0)
    assert standing([whole, rest]) == [whole]
    again = said(3, on=6, asked=5)
    assert standing([whole, rest, again]) == [whole, again]


def test_weather_stopped_what_lost_hours_to_it_and_was_not_done_in_time():
    lost = worked("Ann", 2, cause="weather")
    whole = (done("protect", 1.0), done("attach", 1.0))
    for progress, came in (((), 0), (whole, 1)):
        book = book_of(hours_worked=(lost,), progress=progress)
        found = expected_and_happened(book, [said()], day(1))
        assert [one.happened for one in bins(found, "go")] == [came]
        assert [one.happened for one in bins(found, "finish")] == [came]
        assert (found.hours.expected_h, found.hours.lost_h) == (1.0, 2)


def test_hours_lost_to_weather_on_other_days_or_stages_are_no_matter_of_the_visit():
    rows = (
        worked("Ann", 8),
        worked("Ann", 2, on=1, cause="weather"),
        worked("Bo", 2, at="S3", cause="weather"),
    )
    found = expected_and_happened(book_of(hours_worked=rows), [said()], day(5))
    assert [one.happened for one in bins(found, "go")] == [1]
    assert [one.happened for one in bins(found, "finish")] == [0]
    assert found.hours.lost_h == 0


def test_work_on_the_ground_says_nothing_of_the_chance_of_weather():
    rows = (worked("Ann", 2, cause="weather"),)
    found = expected_and_happened(book_of(hours_worked=rows), [said(exposed=False)], day(5))
    assert bins(found, "go") == []


@pytest.mark.parametrize("cause", ["waiting_for_permit", "waiting_for_material"])
def test_what_was_waited_for_on_site_was_not_in_hand(cause):
    rows = (worked("Ann", 2, cause=cause),)
    (one,) = bins(expected_and_happened(book_of(hours_worked=rows), [said()], day(5)), "ready")
    assert (one.low, one.high, one.happened) == (1.0, 1.0, 0)


def test_what_is_not_over_or_not_written_down_is_not_judged_and_counted():
    kept = [said(at="S1"), said(at="S3"), said(at="S2", on=4), said(at="gone")]
    found = expected_and_happened(book_of(hours_worked=(worked("Ann", 8),)), kept, day(4))
    assert (found.judged, found.not_written, found.to_come) == (1, 1, 1)


def test_nothing_follows_from_fewer_than_twenty_and_eighteen_of_twenty_agree_with_nine_of_ten():
    for cases, enough in ((19, False), (20, True)):
        kept = [said(on=on, asked=-1, p_go=0.92) for on in range(cases)]
        rows = tuple(
            worked("Ann", 8, on=on, cause="weather" if on < 2 else "") for on in range(cases)
        )
        found = expected_and_happened(book_of(hours_worked=rows), kept, day(60))
        (one,) = bins(found, "go")
        assert (one.cases, one.happened, one.enough) == (cases, cases - 2, enough)
        assert found.hours.enough is enough
    assert one.interval == pytest.approx((0.7174, 0.9819), abs=5e-4)
    assert one.holds
