"""Hours that look odd are asked about before they are kept."""

from datetime import date
from decimal import Decimal

import pytest

from crewplan.ledger.before_entry import Against, odd_hours
from crewplan.model.work_rows import HoursWorked

MONDAY, TUESDAY = date(2026, 5, 4), date(2026, 5, 5)


def _row(hours, person="Ann", day=MONDAY, stage="S1", **changes):
    return HoursWorked(day, stage, person, hours, **changes)


def _asked(new, kept=(), earliest_on=MONDAY, finished_on=None, today=TUESDAY):
    against = Against(kept, earliest_on, finished_on, today)
    return [(one.kind, one.person) for one in odd_hours(new, against)]


def test_plain_hours_are_not_asked_about():
    assert _asked([_row(8), _row(8, "Bob")], [_row(8, "Cid"), _row(3, stage="S2")]) == []


@pytest.mark.parametrize(("there", "asked"), [(7.9, []), (8.1, [("long day", "Ann")])])
def test_a_day_over_sixteen_hours_is_asked_about_all_stages_together(there, asked):
    # by hand: 8.1 + 8 = 16.1, over the ledger's 16
    assert _asked([_row(8)], [_row(there, stage="S2")]) == asked


def test_worked_and_lost_hours_of_one_entry_count_as_one_day():
    assert _asked([_row(12), _row(5, cause="weather")]) == [("long day", "Ann")]


def test_the_same_persons_same_hours_again_are_asked_about():
    assert _asked([_row(4)], [_row(4)]) == [("same again", "Ann")]
    assert _asked([_row(4, step="rails")], [_row(4, step="lift")]) == []
    assert _asked([_row(1, cause="weather")], [_row(4)]) == []


@pytest.mark.parametrize(("done", "asked"), [(TUESDAY, TUESDAY), (MONDAY, None), (None, TUESDAY)])
def test_hours_before_the_stage_that_comes_first_was_finished_are_asked_about(done, asked):
    """By hand: finished on the day itself is early enough; not finished at all counts as today."""
    against = Against((), MONDAY, None, TUESDAY, before={"S0": done})
    found = [(one.kind, one.limit, one.before) for one in odd_hours([_row(4)], against)]
    assert found == ([("before its turn", asked, "S0")] if asked else [])


def test_how_many_hours_are_there_already_is_told():
    [one] = odd_hours([_row(2)], Against([_row(1.5), _row(3)], MONDAY, None, TUESDAY))
    assert (one.hours, one.limit) == (Decimal(2), 4.5)


def test_hours_before_the_job_begins_on_a_finished_stage_and_to_come_are_asked_about():
    assert _asked([_row(4)], earliest_on=TUESDAY) == [("before the job", "Ann")]
    assert _asked([_row(4, day=TUESDAY)], finished_on=MONDAY) == [("finished stage", "Ann")]
    assert _asked([_row(4)], finished_on=MONDAY) == []
    assert _asked([_row(4, day=TUESDAY)], today=MONDAY) == [("after today", "Ann")]
