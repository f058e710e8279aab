"""Rows and sums that the pages show."""

from datetime import date

import pytest
from board_views import MONDAY, full_view, one_job_view, stage_hours
from builders import stage

from crewplan.scheduling.standby import ground_steps
from dashboard.tables.crew_day import away, free_halves, verdicts_for, visits
from dashboard.tables.forecast_hours import forecast_hours
from dashboard.tables.hours_sums import crew_hours, job_hours, lost_by_cause
from dashboard.tables.limits_drawn import wind_limit


def test_every_crew_of_monday_is_listed_once_in_the_folders_order() -> None:
    seen = visits(full_view(), MONDAY)
    assert [visit.planned.placement.crew for visit in seen] == [
        "Alder", "Birch", "Cedar", "Dogwood", "Elm", "Fir",
    ]  # fmt: skip
    assert {visit.halves for visit in seen} == {"all day"}


def test_a_crew_without_work_is_free_all_day() -> None:
    tuesday = date(2026, 5, 5)
    assert free_halves(one_job_view(), tuesday) == (("Alder", "all day"),)
    assert free_halves(full_view(), tuesday) == ()


def test_the_absent_are_named_on_their_days_only() -> None:
    view = full_view()
    assert [person.person for person in away(view, date(2026, 5, 5))] == ["Birch lead"]
    assert away(view, date(2026, 5, 6)) == ()


def test_a_crews_verdicts_are_those_of_its_own_site() -> None:
    assert [v.exposure for v in verdicts_for(full_view(), "S2")] == ["ground", "roof", "lift"]
    assert verdicts_for(full_view(), "S60") == ()


def test_a_missing_hour_of_the_forecast_stays_missing() -> None:
    view = one_job_view()
    hours = [hour.hour for hour in view.verdicts[0].hours]
    found = forecast_hours(view.branch.weather, "north", hours)
    # by hand, five members: gust 5.0 + member x 0.6 in the first hour
    first = found[0].gust
    assert first is not None
    assert (first.low, first.middle, first.high, first.members) == pytest.approx((5.0, 6.2, 7.4, 5))
    assert (found[4].gust, found[4].wind) == (None, None)


def test_a_place_without_a_forecast_has_no_wind_at_all() -> None:
    view = one_job_view()
    hours = [hour.hour for hour in view.verdicts[0].hours]
    assert {h.gust for h in forecast_hours(view.branch.weather, "far away", hours)} == {None}


def test_hours_by_cause_add_up_to_all_lost_hours() -> None:
    view = full_view()
    lost = sum(row.hours for row in view.branch.hours_worked if row.cause)
    assert sum(hours for _, hours in lost_by_cause(view)) == lost
    assert sum(row.lost for row in job_hours(view)) == lost
    assert sum(row.lost for row in crew_hours(view)) == lost


def test_work_placed_is_the_same_by_job_and_by_crew() -> None:
    view = full_view()
    # 60 placements of 16 h of work and 1.2 h expected to be lost
    assert sum(row.placed for row in job_hours(view)) == pytest.approx(960)
    assert sum(row.placed for row in crew_hours(view)) == pytest.approx(960)
    assert sum(row.expected_lost for row in job_hours(view)) == pytest.approx(72)


def test_the_strictest_stop_limit_is_the_one_that_is_drawn() -> None:
    limit = wind_limit(one_job_view(), "lift")
    assert limit.gust_mps == pytest.approx(26 * 0.44704)
    assert wind_limit(one_job_view(limits={}), "lift").gust_mps is None


def test_standby_is_ground_work_that_waits_for_nothing_on_the_roof() -> None:
    steps = ground_steps(stage_hours(stage("S1")))
    assert [step.step for step in steps] == ["unload_and_prepare"]
