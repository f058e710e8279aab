from datetime import date, timedelta

import builders
import numpy as np
import pytest
from builders import NOW, branch, job, stage
from hypothesis import given, settings
from hypothesis import strategies as st

from crewplan.labour import stage_hours_all
from crewplan.model.calendar import local_day
from crewplan.model.waiting_rows import Authority, LeadTime, Requirement
from crewplan.readiness import readiness
from crewplan.readiness.history import History
from crewplan.readiness.waits import POOL_REQUESTS
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 3)
DAYS = tuple(date(2026, 5, day) for day in range(4, 16))


def ready(*rows, days=DAYS, kinds=("permit",), **tables):
    """The roof stage of J1, which waits for `kinds` only."""
    roof_waits = builders.settings(requirements={"roof": kinds})
    folder = branch(requirements=rows, settings=roof_waits, **tables)
    hours = stage_hours_all(folder, take_off_all(folder), local_day(folder.settings, NOW))
    return readiness(folder, hours, days, NOW)["S1"]


def permit(state, **more):
    return Requirement("J1", "permit", state, **more)


def past(*waits, kind="permit", authority="Town", waiting=()):
    """Lead times of so many days that are over, and requests that have waited so long."""
    long_ago = date(2025, 1, 1)
    rows = [LeadTime(kind, long_ago, authority, long_ago + timedelta(days=d)) for d in waits]
    return (*rows, *(LeadTime(kind, TODAY - timedelta(days=d), authority) for d in waiting))


def test_granted_is_certain():
    found = ready(permit("granted", granted_on=date(2026, 4, 1)))
    assert found.p.tolist() == [1.0] * len(DAYS)
    assert found.granted.all()
    assert set(found.holds) == {""}


def test_a_grant_that_begins_later_counts_from_its_day():
    found = ready(permit("granted", granted_on=date(2026, 5, 6)))
    assert found.p.tolist() == [0, 0] + [1] * (len(DAYS) - 2)
    assert found.granted.tolist() == [False, False] + [True] * (len(DAYS) - 2)
    assert found.holds[:3] == ("permit", "permit", "")


def test_not_needed_holds_nothing():
    assert ready(permit("not_needed")).granted.all()


@pytest.mark.parametrize("state", ["open", "refused"])
def test_what_is_open_or_refused_never_comes_by_itself(state):
    found = ready(permit(state, expected_on=date(2026, 5, 5)), lead_times=past(1, 2, 3))
    assert not found.p.any()
    assert set(found.holds) == {"permit"}


def test_a_kind_that_is_needed_and_has_no_row_is_open():
    found = ready(kinds=("permit", "survey"))
    assert [(s.kind, s.state) for s in found.states] == [("permit", "open"), ("survey", "open")]
    assert not found.p.any()


def test_asked_without_any_record_is_no_chance_and_says_so():
    asked = permit("asked", asked_on=date(2026, 4, 1), expected_on=date(2026, 5, 5))
    found = ready(asked, lead_times=past(1, 2, kind="survey"))
    assert not found.p.any()
    assert found.states[0].note == "no record, on 2026-04-01, expected 2026-05-05"


def test_asked_gains_by_the_days_already_waited():
    asked = permit("asked", asked_on=TODAY - timedelta(days=5))
    found = ready(asked, lead_times=past(2, 4, 6, 8, 10, 12))
    # by hand: 4 of 6 lasted over 5 days; of these over by day 6: 1, by 8: 2, by 10: 3, by 12: 4
    assert found.p[:8] == pytest.approx([1 / 4, 1 / 4, 2 / 4, 2 / 4, 3 / 4, 3 / 4, 1, 1])
    assert not found.granted.any()
    assert set(found.holds) == {"permit"}


def test_expected_on_is_shown_and_never_counted():
    asked = permit("asked", asked_on=TODAY)
    known = permit("asked", asked_on=TODAY, expected_on=date(2026, 5, 4))
    past_rows = past(3, 9, 20)
    assert (
        ready(asked, lead_times=past_rows).p.tolist()
        == ready(known, lead_times=past_rows).p.tolist()
    )
    assert "expected 2026-05-04" in ready(known, lead_times=past_rows).states[0].note


def test_waiting_longer_than_anybody_before_says_nothing():
    asked = permit("asked", asked_on=TODAY - timedelta(days=30))
    assert not ready(asked, lead_times=past(2, 4, 6)).p.any()


def test_an_authority_with_few_requests_leans_on_the_pool():
    rows = past(*[2] * 5, authority="Swift") + past(*[30] * 15, authority="Slow")
    asked = permit("asked", asked_on=TODAY)
    found = ready(asked, lead_times=rows, jobs=(job(authority="Swift"),))
    # by hand: within 2 days all of its own 5, 5 of 20 in the pool; 5 / (5 + 5) of its own
    assert POOL_REQUESTS == 5
    assert found.p[1] == pytest.approx(0.5 * 1 + 0.5 * 5 / 20)
    unheard = ready(asked, lead_times=rows, jobs=(job(authority="New"),))
    assert unheard.p[1] == pytest.approx(5 / 20)


def test_utilities_have_records_of_their_own():
    rows = past(*[1] * 50, kind="utility_approval", authority="Grid")
    rows += past(*[40] * 50, kind="utility_approval", authority="Town")
    asked = Requirement("J1", "utility_approval", "asked", asked_on=TODAY)
    jobs = (job(authority="Town", utility="Grid"),)
    found = ready(asked, kinds=("utility_approval",), lead_times=rows, jobs=jobs)
    assert found.p[0] > 0.9


def test_kinds_are_independent_and_the_least_likely_holds_most():
    rows = (permit("asked", asked_on=TODAY), Requirement("J1", "survey", "asked", TODAY))
    record = past(*range(1, 11)) + past(*range(2, 22, 2), kind="survey")
    found = ready(*rows, kinds=("permit", "survey"), lead_times=record)
    # by hand on day 10: all permits, 5 of 10 surveys
    assert found.p[9] == pytest.approx(1.0 * 0.5)
    assert found.p[3] == pytest.approx(0.4 * 0.2)
    assert set(found.holds) == {"survey"}


def test_requests_of_the_future_do_not_count():
    tomorrow = TODAY + timedelta(days=1)
    rows = (LeadTime("permit", tomorrow, "Town", tomorrow),)
    assert History(rows, TODAY).waits("permit", "Town") is None


def test_a_grant_of_tomorrow_is_still_waiting_today():
    row = LeadTime("permit", TODAY - timedelta(days=3), "Town", TODAY + timedelta(days=1))
    waits = History((row,), TODAY).waits("permit", "Town")
    assert waits is not None
    assert waits.chance_by(np.array([50.0]), 1.0)[0] == 0


days_waited = st.lists(st.integers(0, 60), max_size=8)


@settings(deadline=None, max_examples=200)
@given(days_waited, days_waited, days_waited, st.integers(0, 80), st.integers(0, 80))
def test_a_chance_never_falls_with_time_and_stays_between_0_and_1(
    own, others, waiting, permit_since, survey_since
):
    record = past(*own) + past(*others, authority="Other") + past(waiting=waiting)
    record += past(*others, kind="survey", waiting=own)
    rows = (
        permit("asked", asked_on=TODAY - timedelta(days=permit_since)),
        Requirement("J1", "survey", "asked", TODAY - timedelta(days=survey_since)),
    )
    days = tuple(TODAY + timedelta(days=d) for d in range(-5, 90))
    found = ready(
        *rows,
        days=days,
        kinds=("permit", "survey"),
        lead_times=record,
        jobs=(job(authority="Town"),),
    )
    for chance in (found.p, *(state.p for state in found.states)):
        assert (np.diff(chance) >= 0).all()
        assert ((chance >= 0) & (chance <= 1)).all()
    assert not found.p[:6].any()  # still waiting at the end of today


def test_stages_of_one_folder_are_all_told():
    folder = branch(
        stages=(stage("A"), stage("B", kind="return")),
        authorities=(Authority("Town", ("structural_letter",)),),
    )
    hours = stage_hours_all(folder, take_off_all(folder), TODAY)
    found = readiness(folder, hours, DAYS, NOW)
    assert set(found) == {"A", "B"}
    assert found["B"].granted.all()
    assert found["B"].states == ()
