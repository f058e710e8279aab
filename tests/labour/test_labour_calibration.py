"""How forecasts held, against stages whose truth is known and by hand."""

from dataclasses import replace

import numpy as np
import pytest
from rates_cases import TODAY, invented
from scipy.stats import beta

from crewplan.labour import calibrate, learn, learned_table, stage_hours_all
from crewplan.labour.calibration import quantiles
from crewplan.labour.units import units_of
from crewplan.labour.worked import worked

CASE = invented(11, by_stage=0.3)


def test_units_times_rates_are_the_hours_that_planning_has():
    units = units_of(CASE.branch, CASE.takeoffs)
    rates = np.array([rate.hours_per_unit for rate in CASE.branch.rates])
    planned = stage_hours_all(replace(CASE.branch, progress=()), CASE.takeoffs, TODAY)
    by_step = units.in_steps(units.by_stage(rates) * rates)
    for row, hours in zip(CASE.branch.stages, by_step, strict=True):
        steps = {step: h for step, h in zip(units.steps, hours, strict=True) if h > 0}
        assert steps == pytest.approx({step.step: step.p50_h for step in planned[row.stage].steps})


def test_a_forecast_here_is_the_one_that_planning_makes():
    units = units_of(CASE.branch, CASE.takeoffs)
    everywhere = np.arange(len(CASE.branch.stages))
    planned = stage_hours_all(replace(CASE.branch, progress=()), CASE.takeoffs, TODAY)
    for at, one in quantiles(units, CASE.branch.rates, everywhere).items():
        other = planned[CASE.branch.stages[at].stage]
        assert (one.p50_h, one.p80_h, one.p90_h) == pytest.approx(
            (other.p50_h, other.p80_h, other.p90_h)
        )


def test_finished_stages_are_counted_with_the_hours_that_they_took():
    found = calibrate(CASE.branch, CASE.takeoffs, TODAY)
    truth = {r.stage: h for r, h in zip(CASE.branch.stages, CASE.actual_h, strict=True)}
    assert len(found.cases) > 40
    for case in found.cases:
        # entries are kept to a millionth of an hour
        assert case.actual_h == pytest.approx(truth[case.stage], abs=1e-4)
    assert not {case.stage for case in found.cases} & CASE.unseen


def test_the_share_and_its_interval_are_those_of_the_cases():
    found = calibrate(CASE.branch, CASE.takeoffs, TODAY)
    for held in found.held:
        name = f"p{100 * held.quantile:.0f}_h"
        under = [case.actual_h <= getattr(case, name)[held.by] for case in found.cases]
        n, k = len(under), sum(under)
        assert (held.cases, held.under) == (n, k)
        # Clopper and Pearson 1934, by the beta distribution's quantiles
        low, high = beta.ppf(0.05, k, n - k + 1), beta.ppf(0.95, k + 1, n - k)
        assert (held.low, held.high) == pytest.approx(
            (0.0 if k == 0 else low, 1.0 if k == n else high)
        )


def test_no_stage_is_forecast_from_its_own_or_later_hours():
    units = units_of(CASE.branch, CASE.takeoffs)
    cases = calibrate(CASE.branch, CASE.takeoffs, TODAY).cases
    last = cases[-1]
    start = next(
        case for case in cases if case.p50_h["learned before"] and case.begun_on > TODAY.min
    )
    # the first span: nothing was known, so both forecasts are the table's
    assert start.p50_h["learned before"] == pytest.approx(start.p50_h["table"], rel=1e-9)
    doubled = replace(
        CASE.branch,
        hours_worked=tuple(
            replace(row, hours=min(row.hours * 1.5, 24)) if row.stage == last.stage else row
            for row in CASE.branch.hours_worked
        ),
    )
    again = {c.stage: c for c in calibrate(doubled, CASE.takeoffs, TODAY).cases}[last.stage]
    assert again.actual_h > last.actual_h
    assert again.p50_h == last.p50_h
    assert worked(CASE.branch, units, TODAY).finished.sum() == len(cases)


def test_the_tables_own_forecast_leaves_out_stages_that_a_learned_row_has_in_it():
    rows = learned_table(CASE.branch, learn(CASE.branch, CASE.takeoffs, TODAY))
    found = calibrate(replace(CASE.branch, rates=rows), CASE.takeoffs, TODAY)
    assert {held.cases for held in found.held if held.by == "table"} == {0}
    assert {held.holds for held in found.held if held.by == "table"} == {"too few"}


def test_from_too_few_stages_nothing_is_concluded():
    few = invented(12, counts={"roof": 9}, unseen_counts=())
    found = calibrate(few.branch, few.takeoffs, TODAY)
    assert 0 < len(found.cases) < 20
    assert {held.holds for held in found.held} == {"too few"}


def test_a_table_that_promises_too_little_is_told_and_learning_mends_it():
    slow = invented(13, counts={"roof": 150}, unseen_counts=(), by_stage=0.0)
    optimist = tuple(
        replace(row, hours_per_unit=rate / 1.8)
        for row, rate in zip(slow.branch.rates, slow.true_rates, strict=True)
    )
    found = calibrate(replace(slow.branch, rates=optimist), slow.takeoffs, TODAY)
    told = {(held.by, held.quantile): held for held in found.held}
    assert {told["table", q].holds for q in (0.5, 0.8, 0.9)} == {"too low"}
    for q in (0.5, 0.8, 0.9):
        assert told["learned before", q].share > told["table", q].share + 0.1


def test_a_branch_without_a_record_has_no_case():
    bare = replace(CASE.branch, hours_worked=(), progress=())
    found = calibrate(bare, CASE.takeoffs, TODAY)
    assert found.cases == ()
    assert {held.share for held in found.held} == {None}
