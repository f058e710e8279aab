"""First inspections that fail: the chance by authority, the hours, and who was inspected before."""

from datetime import date

import pytest
from builders import branch, job

from crewplan.model.waiting_rows import Inspection
from crewplan.readiness.first_visit import POOL_INSPECTIONS, FirstVisit, first_visits

TODAY = date(2026, 5, 3)
JOBS = (job("J1", authority="Hill"), job("J2", authority="Vale"), job("J3", authority="New"))


def seen(authority, *passed, return_h=None):
    return tuple(
        Inspection(authority, date(2026, 1, 5), ok, return_h=None if ok else return_h)
        for ok in passed
    )


def told(*rows, jobs=JOBS):
    return first_visits(branch(jobs=jobs, inspections=rows), TODAY)


def test_without_a_record_nothing_is_priced_and_it_says_so():
    # 4 h: the package's hours of a return visit
    assert told()["J1"] == FirstVisit(0.0, 4.0, "no record")


def test_an_authority_leans_on_all_authorities_where_its_record_is_short():
    rows = seen("Hill", *[False] * 5) + seen("Vale", *[True] * 15)
    assert POOL_INSPECTIONS == 5
    found = told(*rows)
    # by hand: 5 of 20 in all; Hill half its own 1, half 1/4; Vale 15/20 of 0, 5/20 of 1/4
    assert found["J1"].p_fail == pytest.approx(0.5 + 0.5 * 0.25)
    assert found["J2"].p_fail == pytest.approx(0.25 * 0.25)
    assert found["J3"].p_fail == pytest.approx(0.25)
    assert found["J1"].note == "5 of its 5 first inspections failed"
    assert found["J3"].note == "0 of its 0 first inspections failed"


def test_the_hours_of_putting_it_right_are_the_records_where_it_has_them():
    rows = seen("Hill", False, return_h=6.0) + seen("Vale", False, return_h=10.0)
    # by hand: all 8; Hill one of its own: 1/6 of 6 and 5/6 of 8
    assert told(*rows)["J1"].return_h == pytest.approx(6 / 6 + 5 * 8 / 6)
    assert told(*seen("Hill", False))["J1"].return_h == 4.0


def test_only_a_jobs_first_inspection_counts():
    first = Inspection("Hill", date(2026, 1, 5), False, "A")
    second = Inspection("Hill", date(2026, 1, 20), True, "A")
    assert told(second, first)["J1"].p_fail == 1.0


def test_a_job_that_was_inspected_before_has_no_first_visit_left():
    rows = (Inspection("Hill", date(2026, 4, 5), False, "J1"),)
    assert told(*rows)["J1"].p_fail == 0.0
    assert told(*rows)["J1"].note == "inspected before"


def test_an_inspection_of_tomorrow_is_not_known_today():
    assert told(Inspection("Hill", date(2026, 5, 4), False))["J1"].note == "no record"
