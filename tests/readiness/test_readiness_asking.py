"""Ten past requests, worked out by hand: chances, dates of 50 % and 80 %, and when to ask."""

from datetime import date, timedelta

import builders
import numpy as np
import pytest
from builders import NOW, branch, job
from hypothesis import given, settings
from hypothesis import strategies as st

from crewplan.labour import stage_hours_all
from crewplan.model.waiting_rows import LeadTime, Requirement
from crewplan.readiness import readiness
from crewplan.readiness.ask_by import AskBy, ask_by
from crewplan.readiness.dates import Dates, dates
from crewplan.readiness.history import History
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
OVER, WAITING = (3, 5, 8, 10, 12, 20, 21), (5, 10, 15)
"""Days. By hand, share still waiting: 3: 9/10; 5: 8/10; 8: x 6/7 = 0.685714; 10: x 5/6 = 0.571429;
12: x 3/4 = 0.428571; 20: x 1/2 = 0.214286; 21: 0."""


def record(over=OVER, waiting=WAITING, kind="permit", authority="Town"):
    long_ago = date(2025, 1, 1)
    rows = [LeadTime(kind, long_ago, authority, long_ago + timedelta(days=d)) for d in over]
    return (*rows, *(LeadTime(kind, TODAY - timedelta(days=d), authority) for d in waiting))


def waits(rows, kind="permit", authority="Town"):
    return History(rows, TODAY).waits(kind, authority)


def asked(waited, days):
    folder = branch(
        settings=builders.settings(requirements={"roof": ("permit",)}),
        jobs=(job(authority="Town"),),
        requirements=(Requirement("J1", "permit", "asked", TODAY - timedelta(days=waited)),),
        lead_times=record(),
    )
    hours = stage_hours_all(folder, take_off_all(folder), TODAY)
    return readiness(folder, hours, days, NOW)["S1"]


def ahead(*days):
    return tuple(TODAY + timedelta(days=d) for d in days)


def test_a_request_that_has_waited_five_days_is_judged_by_those_that_waited_longer():
    # by hand: 1 - S(t) / S(5), t = 8, 10, 12, 19, 20, 21 days after asking
    found = asked(5, ahead(3, 5, 7, 14, 15, 16))
    by_hand = [1 - s / 0.8 for s in (0.685714, 0.571429, 0.428571, 0.428571, 0.214286, 0)]
    assert found.p == pytest.approx(by_hand, abs=1e-5)


def test_a_request_that_has_waited_ten_days_is_surer_than_a_new_one():
    found = asked(10, ahead(10))
    assert found.p == pytest.approx([1 - 0.214286 / 0.571429], abs=1e-5)  # 0.625 by day 20
    assert asked(0, ahead(20)).p == pytest.approx([1 - 0.214286], abs=1e-5)


def test_the_dates_of_50_and_80_percent_follow_the_days_already_waited():
    days = ahead(*range(40))
    # by hand, waited 5: 0.464 by day 12, 0.732 by day 20, 1 by day 21
    assert dates(asked(5, days).p, days) == Dates(*ahead(15, 16))
    # by hand, new: 0.571 by day 12, 0.786 by day 20, 1 by day 21
    assert dates(asked(0, days).p, days) == Dates(*ahead(12, 21))


def test_no_date_is_named_beyond_the_record():
    days = ahead(*range(60))
    assert dates(asked(30, days).p, days) == Dates(None, None)
    assert dates(asked(5, days[:14]).p, days[:14]) == Dates(None, None)


def test_the_deadline_to_ask_is_the_lead_time_before_the_day():
    wanted_on = date(2026, 5, 29)
    # by hand: 8 of 10 are over within 21 days (0.786 within 20), half within 12
    assert ask_by(waits(record()), wanted_on, 0.8) == AskBy(date(2026, 5, 8))
    assert ask_by(waits(record()), wanted_on, 0.5) == AskBy(date(2026, 5, 17))


def test_a_share_of_past_requests_that_is_just_reached_is_enough():
    # by hand: 4 of 5 within 4 days, in floating point a hair under 0.8
    assert waits(record(over=(1, 2, 3, 4, 9), waiting=())).days_for(0.8) == 4


def test_without_a_record_no_deadline_is_told():
    assert ask_by(waits(()), date(2026, 5, 29), 0.8) == AskBy(None, "no record")


def test_a_record_that_ends_before_the_share_tells_no_deadline():
    # by hand: 1 of 4 is over, the others still wait
    rows = record(over=(2,), waiting=(3, 4, 5))
    told = ask_by(waits(rows), date(2026, 5, 29), 0.8)
    assert told == AskBy(None, "the record does not reach 80 %")


def test_an_authority_with_a_short_record_leans_on_all_of_that_kind_for_its_deadline():
    rows = record(over=[2] * 5, waiting=()) + record(over=[30] * 15, waiting=(), authority="Slow")
    # by hand: within 2 days 0.5 x 1 + 0.5 x 5/20 = 0.625, within 30 all
    assert waits(rows).days_for(0.6) == 2
    assert waits(rows).days_for(0.8) == 30


spans = st.lists(st.integers(0, 60), max_size=8)


@settings(deadline=None, max_examples=100)
@given(spans, spans, spans, st.floats(0.05, 0.99))
def test_asking_on_the_deadline_has_the_share_and_a_day_later_has_not(own, other, still, share):
    rows = record(own, still) + record(other, (), authority="Other")
    curve = waits(rows)
    told = ask_by(curve, date(2026, 8, 1), share)
    if told.by is None:
        assert curve is None or 1 - curve.still_waiting(np.array([1e6]))[0] < share
        return
    lead = (date(2026, 8, 1) - told.by).days
    over = 1 - curve.still_waiting(np.array([lead, lead - 1.0]))
    assert over[0] >= share - 1e-9
    assert over[1] < share
