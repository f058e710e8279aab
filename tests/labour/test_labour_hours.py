from datetime import date

import pytest
from builders import branch, job, plane, stage

from crewplan.labour import stage_hours_all
from crewplan.model.work_rows import Factor, Progress, Rate, Step
from crewplan.takeoff import take_off_all

TODAY = date(2026, 5, 4)


def step(name, kind="roof", exposure="roof", driver="modules", **more):
    return Step(name, kind, exposure, driver, **more)


def hours(today=TODAY, **tables):
    folder = branch(**tables)
    return stage_hours_all(folder, take_off_all(folder), today)


def plain(**tables):
    """Two steps without factors: lift 0.1 h and clamp 0.2 h for each of 19 modules."""
    work = {
        "steps": (step("lift"), step("clamp", after=("lift",))),
        "rates": (Rate("lift", "modules", 0.1), Rate("clamp", "modules", 0.2)),
        "factors": (),
    }
    return hours(**(work | tables))


def test_hours_are_rate_times_driver_and_steps_add_up():
    found = plain()["S1"]
    assert [(s.step, s.p50_h) for s in found.steps] == [
        ("lift", pytest.approx(1.9)),
        ("clamp", pytest.approx(3.8)),
    ]
    assert found.p50_h == pytest.approx(5.7)
    assert found.planned_h == found.p50_h


def test_several_rates_of_one_step_add_up():
    rates = (Rate("lift", "modules", 0.1), Rate("lift", "storeys", 0.5), Rate("lift", "planes", 1))
    found = plain(rates=rates, jobs=(job(storeys=2),))["S1"]
    assert found.p50_h == pytest.approx(1.9 + 2 * 0.5 + 1)


def test_factors_that_hold_multiply_and_of_thresholds_the_highest():
    factors = (
        Factor("lift", "storeys>=2", 1.2),
        Factor("lift", "storeys>=3", 1.5),
        Factor("lift", "covering=tile", 2.0),
        Factor("lift", "covering=slate", 9.0),
        Factor("clamp", "pitch_deg>=30", 3.0),
    )
    found = plain(factors=factors, jobs=(job(storeys=4),), planes=(plane(covering="tile"),))["S1"]
    assert [s.p50_h for s in found.steps] == pytest.approx([1.9 * 1.5 * 2.0, 3.8])


def test_a_threshold_holds_at_its_own_value():
    found = plain(factors=(Factor("lift", "storeys>=2", 2.0),), jobs=(job(storeys=2),))["S1"]
    assert found.p50_h == pytest.approx(3.8 + 3.8)


def test_of_upper_thresholds_the_lowest_that_holds_counts():
    factors = (Factor("lift", "pitch_deg<=20", 0.9), Factor("lift", "pitch_deg<=10", 0.5))
    found = plain(factors=factors, planes=(plane(pitch_deg=8),))["S1"]
    assert found.p50_h == pytest.approx(1.9 * 0.5 + 3.8)


def test_a_factor_about_planes_counts_by_each_planes_part_of_the_driver():
    roof = (plane("flat", rows=(15,)), plane("steep", rows=(5,), pitch_deg=40.0))
    found = plain(planes=roof, factors=(Factor("lift", "pitch_deg>=30", 2.0),))["S1"]
    # by hand: 15 modules at 0.1 h and 5 at 0.2 h; 20 at 0.2 h
    assert [s.p50_h for s in found.steps] == pytest.approx([2.5, 4.0])


def test_an_attachment_step_is_weighted_by_attachments():
    roof = (plane("flat", rows=(7, 7)), plane("steep", rows=(7,), pitch_deg=40.0))
    work = {"steps": (step("feet"),), "rates": (Rate("feet", "attachments", 0.1),)}
    found = plain(**work, planes=roof, factors=(Factor("feet", "pitch_deg>=30", 2.0),))["S1"]
    # by hand: 14 attachments a row (rows of 8052.3 mm), one row of three twice as slow
    assert found.p50_h == pytest.approx((28 + 2 * 14) * 0.1)


def test_without_planes_only_factors_about_the_job_hold():
    work = {"steps": (step("visit"),), "rates": (Rate("visit", "visit", 1.0),), "planes": ()}
    factors = (Factor("visit", "storeys>=2", 2.0), Factor("visit", "covering=tile", 5.0))
    assert plain(**work, factors=factors, jobs=(job(storeys=2),))["S1"].p50_h == 2.0


def test_shares_split_a_jobs_steps_and_the_rest_is_equal():
    stages = (stage("A", share=0.5), stage("B"), stage("C"), stage("X", kind="electrical"))
    found = plain(stages=stages)
    assert [found[s].planned_h for s in "ABC"] == pytest.approx([2.85, 1.425, 1.425])
    assert found["X"].planned_h == 0


def test_a_visit_counts_in_full_in_each_stage():
    work = {"steps": (step("visit", "inspection"),), "rates": (Rate("visit", "visit", 1.5),)}
    stages = (stage("A", kind="inspection"), stage("B", kind="inspection"))
    found = plain(**work, stages=stages)
    assert [found[s].planned_h for s in "AB"] == [1.5, 1.5]


def test_days_on_site_come_from_the_other_hours_and_are_at_least_one():
    steps = (step("lift"), step("tidy", driver="days"))

    def tidy(lift_h):
        rates = (Rate("lift", "modules", lift_h), Rate("tidy", "days", 1.0))
        return plain(steps=steps, rates=rates)["S1"].steps[1].p50_h

    assert tidy(0.1) == 1.0
    assert tidy(3.0) == pytest.approx(19 * 3.0 / 24)  # three people, eight hours


def test_steps_without_hours_are_left_out_and_order_is_seen_through_them():
    steps = (
        step("last", after=("gone",)),
        step("gone", after=("first",)),
        step("first"),
        step("other_kind", kind="return"),
    )
    rates = (Rate("last", "modules", 1.0), Rate("first", "modules", 1.0))
    found = plain(steps=steps, rates=rates)["S1"]
    assert [(s.step, s.after) for s in found.steps] == [("first", ()), ("last", ("first",))]


def test_only_ground_steps_expose_nobody():
    assert plain()["S1"].exposed
    ground = (step("lift", exposure="ground"),)
    assert not plain(steps=ground)["S1"].exposed


def seen(day, name, share):
    return Progress(date(2026, 5, day), "S1", name, share)


def test_half_done_leaves_the_rest_to_be_planned():
    found = plain(progress=(seen(1, "lift", 1.0), seen(1, "clamp", 0.25)))["S1"]
    assert [(s.step, s.after, s.p50_h) for s in found.steps] == [("clamp", (), pytest.approx(2.85))]
    assert found.planned_h == pytest.approx(5.7)
    assert (found.done, found.begun) == (False, True)


def test_the_progress_seen_last_counts_whatever_the_order_of_rows():
    rows = (seen(3, "clamp", 0.75), seen(1, "clamp", 0.25), seen(2, "lift", 1.0))
    assert plain(progress=rows)["S1"].p50_h == pytest.approx(3.8 * 0.25)


def test_progress_of_tomorrow_does_not_count_today():
    rows = (seen(5, "lift", 1.0),)
    assert not plain(progress=rows)["S1"].begun
    assert plain(progress=rows, today=date(2026, 5, 5))["S1"].begun


def test_a_stage_is_done_when_all_steps_that_have_hours_are():
    steps = (step("lift"), step("clamp"), step("no_hours"))
    rows = (seen(1, "lift", 1.0), seen(2, "clamp", 1.0))
    found = plain(steps=steps, progress=rows)["S1"]
    assert (found.done, found.steps, found.p50_h, found.p80_h) == (True, (), 0.0, 0.0)
    assert found.planned_h == pytest.approx(5.7)


def test_a_stage_without_any_hours_is_done_only_where_progress_says_so():
    nothing = {"rates": ()}
    assert not plain(**nothing)["S1"].done
    assert plain(**nothing, progress=(seen(1, "lift", 1.0),))["S1"].done


def test_a_job_without_electrical_work_has_no_electrical_hours():
    stages = (stage("E", kind="electrical"),)
    assert hours(stages=stages, jobs=(job(electrical="none"),))["E"].planned_h == 0
    standard = hours(stages=stages)["E"].planned_h
    battery = hours(stages=stages, jobs=(job(electrical="battery"),))["E"]
    assert battery.planned_h == pytest.approx(standard + 12)  # the package's rate
    assert battery.steps[-1].after == ("conduit_and_disconnects", "battery")


def test_every_figure_keeps_its_source():
    rates = (
        Rate("lift", "modules", 0.1, source="ours"),
        Rate("lift", "rows", 0.1, source="assumed"),
    )
    assert plain(rates=rates)["S1"].steps[0].source == "ours; assumed"
