"""What hours worked make of the table's rates. Figures 'by hand' are worked out beside them."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from builders import branch, job, plane, stage
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rates_cases import TODAY, invented

from crewplan.labour import learn, learned_table, stage_hours_all
from crewplan.labour.learned_source import read_source
from crewplan.labour.priors import HALF_LIFE_DAYS
from crewplan.model.people_rows import Crew, Person
from crewplan.model.work_rows import HoursWorked, Progress, Rate, Step
from crewplan.takeoff import take_off_all

MODULES = 19
"""Of the builders' plane: so many units of both steps a stage."""
STEPS = (Step("lift", "roof", "roof"), Step("clamp", "roof", "roof", after=("lift",)))
RATES = (Rate("lift", "modules", 0.1, 0.3), Rate("clamp", "modules", 0.2, 0.3, "ours"))
CREWS = (Crew("A", 46.8, -92.1), Crew("B", 46.8, -92.1))
PEOPLE = (Person("Ann", "A", "lead", 40.0), Person("Bob", "B", "lead", 40.0))


def day(number):
    return TODAY - timedelta(days=number)


def done(name, share=1.0, on=0, steps=("lift", "clamp")):
    return [Progress(day(on), name, step, share) for step in steps]


def entry(name, step, hours, *, on=0, person="Ann", cause=""):
    return HoursWorked(day(on), name, person, hours, step, cause)


def folder(hours, progress, *, many=12, **tables):
    """Stages S0, S1 ... of a job each, all alike; two steps, two crews of one."""
    values = {
        "steps": STEPS,
        "rates": RATES,
        "factors": (),
        "crews": CREWS,
        "people": PEOPLE,
        "jobs": tuple(job(f"J{at}") for at in range(many)),
        "planes": tuple(plane(job=f"J{at}") for at in range(many)),
        "stages": tuple(stage(f"S{at}", job=f"J{at}") for at in range(many)),
        "hours_worked": tuple(hours),
        "progress": tuple(progress),
    }
    return branch(**(values | tables))


def learned(branch, today=TODAY):
    return learn(branch, take_off_all(branch), today)


def rates_of(branch, today=TODAY):
    return {row.step: row for row in learned(branch, today).rates}


def record(lift, clamp, person="Ann", first=0):
    """A day a stage, whole stages."""
    hours, progress = [], []
    for at, (one, other) in enumerate(zip(lift, clamp, strict=True), start=first):
        hours += [
            entry(f"S{at}", "lift", one, on=at, person=person),
            entry(f"S{at}", "clamp", other, on=at, person=person),
        ]
        progress += done(f"S{at}", on=at)
    return hours, progress


def test_without_hours_every_rate_is_the_tables_exactly():
    found = learned(folder((), ()))
    assert [(row.learned, row.stages, row.evidence) for row in found.rates] == [
        (0.1, 0, 0.0),
        (0.2, 0, 0.0),
    ]
    assert found.stages == 0
    assert [(crew.pace, crew.stages) for crew in found.crews] == [(1.0, 0), (1.0, 0)]
    empty = folder((), ())
    assert learned_table(empty, found) == empty.rates


def test_a_step_without_hours_keeps_its_rate_exactly_while_others_learn():
    hours = [entry(f"S{at}", "lift", 3.0, on=at) for at in range(5)]
    found = rates_of(folder(hours, [row for at in range(5) for row in done(f"S{at}", on=at)]))
    assert (found["clamp"].learned, found["clamp"].stages) == (0.2, 0)
    assert found["lift"].stages == 5
    assert found["lift"].learned > 0.1


def test_one_stage_moves_its_rate_by_the_weights_of_prior_residual_and_pace():
    # by hand: 3.8 h where 1.9 are planned: log 2. Variances of the logarithm: rate ln(1 + 0.4^2),
    # residual ln(1 + 0.3^2), pace ln(1 + 0.15^2); the rate takes its part of the whole
    rate, residual, pace = (np.log1p(spread**2) for spread in (0.4, 0.3, 0.15))
    found = learned(folder([entry("S0", "lift", 3.8)], done("S0")))
    part = rate / (rate + residual + pace)
    assert found.rates[0].learned == pytest.approx(0.1 * 2**part)
    assert found.rates[0].evidence == pytest.approx(part, abs=0.02)
    assert found.crews[0].pace == pytest.approx(2 ** -(pace / (rate + residual + pace)))
    assert (found.crews[1].pace, found.crews[1].stages) == (1.0, 0)


def test_many_stages_alike_leave_little_of_the_table():
    found = rates_of(folder(*record([3.0] * 12, [3.0] * 12)))
    assert found["lift"].learned == pytest.approx(3.0 / MODULES, rel=0.1)
    assert found["clamp"].learned == pytest.approx(3.0 / MODULES, rel=0.1)
    assert found["lift"].low < 3.0 / MODULES < found["lift"].high
    assert found["lift"].stages == 12


def test_hours_of_a_stage_as_a_whole_count_for_its_sum():
    hours = [entry(f"S{at}", "", 9.0, on=at) for at in range(12)]
    found = learned(folder(hours, [row for at in range(12) for row in done(f"S{at}", on=at)]))
    lift, clamp = found.rates
    # 5.7 h are planned: both grow, their sum comes near to 9 h, and neither is known alone
    assert (lift.learned + clamp.learned) * MODULES == pytest.approx(9.0, rel=0.12)
    assert lift.learned > 0.1
    assert clamp.learned > 0.2
    assert lift.evidence < 0.5


def test_hours_of_a_slow_persons_pace_are_fewer_hours_of_the_tables():
    slow = (Person("Ann", "A", "trainee", 20.0, 0.5), PEOPLE[1])
    hours, progress = record([3.8] * 6, [7.6] * 6)  # twice the table's 1.9 and 3.8
    found = rates_of(folder(hours, progress, people=slow))
    assert found["lift"].learned == pytest.approx(0.1)
    assert found["clamp"].learned == pytest.approx(0.2)


def test_a_quick_crew_and_a_slow_one_are_told_apart_and_drawn_towards_1():
    quick, slow = record([1.9 / 1.3] * 6, [3.8 / 1.3] * 6), record([2.47] * 6, [4.94] * 6, "Bob", 6)
    found = learned(folder(quick[0] + slow[0], quick[1] + slow[1]))
    a, b = found.crews
    assert 1.05 < a.pace < 1.3
    assert 1 / 1.3 < b.pace < 0.95
    assert (a.stages, b.stages) == (6, 6)
    assert found.rates[0].learned == pytest.approx(0.1, rel=0.05)


def test_an_unfinished_stage_counts_its_done_share():
    half = [entry("S0", "lift", 0.95), entry("S0", "clamp", 1.9)]
    found = rates_of(folder(half, done("S0", 0.5)))
    assert found["lift"].learned == pytest.approx(0.1)
    assert found["clamp"].learned == pytest.approx(0.2)


def test_hours_after_the_last_progress_of_an_unfinished_stage_wait_for_it():
    hours = [entry("S0", "lift", 0.95, on=3), entry("S0", "lift", 5.0, on=1)]
    found = learned(folder(hours, done("S0", 0.5, on=3, steps=("lift",))))
    assert found.rates[0].learned == pytest.approx(0.1)
    assert [(one.kind, one.amount) for one in found.unused] == [
        ("hours after the last progress", 5.0)
    ]


def test_hours_without_progress_are_told_and_teach_nothing():
    found = learned(folder([entry("S0", "lift", 9.0)], done("S0", steps=("clamp",))))
    assert found.stages == 0
    assert {one.kind: one.amount for one in found.unused} == {
        "hours without progress": 9.0,
        "steps without hours": 1.0,
    }


def test_work_to_come_teaches_nothing_today():
    rows = record([4.0] * 4, [4.0] * 4)
    assert rates_of(folder(*rows), day(2))["lift"].stages == 2  # S2 and S3


def test_older_hours_count_less():
    old = [entry("S0", "lift", 3.8, on=int(HALF_LIFE_DAYS))]
    found = rates_of(folder(old, done("S0", on=int(HALF_LIFE_DAYS))))
    # by hand: half the weight is twice the residual's variance
    rate, residual, pace = (np.log1p(spread**2) for spread in (0.4, 0.3, 0.15))
    part = rate / (rate + 2 * residual + pace)
    assert found["lift"].learned == pytest.approx(0.1 * 2**part)


def test_forty_hours_in_a_day_are_named_and_teach_nothing():
    hours, progress = record([2.0] * 6, [4.0] * 6)
    odd = [entry("S6", "lift", 20.0, on=7), entry("S6", "lift", 20.0, on=7)]
    progress += done("S6", on=7, steps=("lift",))
    found = learned(folder([*hours, *odd], progress))
    (named,) = found.left_out
    assert (named.kind, named.person, named.day, named.hours_h) == ("long day", "Ann", day(7), 40.0)
    assert found.rates == learned(folder(hours, progress)).rates


def test_a_stage_far_off_from_all_others_is_named_and_teaches_nothing():
    hours, progress = record([2.0] * 8, [4.0] * 8)
    typo = entry("S8", "lift", 15.0, on=9)
    found = learned(folder([*hours, typo], progress + done("S8", on=9, steps=("lift",))))
    (named,) = found.left_out
    assert (named.kind, named.stage, named.step, named.hours_h) == ("far off", "S8", "lift", 15.0)
    assert named.expected_h == pytest.approx(2.0, rel=0.1)
    without = rates_of(folder(hours, progress))
    for row in found.rates:
        assert row.learned == pytest.approx(without[row.step].learned)


def test_a_whole_branch_slower_than_the_table_is_no_outlier():
    found = learned(folder(*record([5.0] * 12, [10.0] * 12)))
    assert found.left_out == ()
    # one crew did all of it: part of it may be the crew's own
    assert found.rates[0].learned / found.crews[0].pace == pytest.approx(5.0 / MODULES, rel=0.06)
    assert found.rates[0].learned > 0.19


def test_hours_that_scatter_more_than_the_table_says_are_known_less_well():
    calm = rates_of(folder(*record([2.0] * 12, [4.0] * 12)))["lift"]
    wild = rates_of(folder(*record([1.0, 4.0] * 6, [2.0, 8.0] * 6)))["lift"]
    assert wild.high / wild.low > calm.high / calm.low
    assert wild.spread > 0.35 > calm.spread


hours_of_steps = st.lists(
    st.tuples(st.floats(0.8, 5.0), st.floats(1.5, 9.0), st.booleans()), min_size=2, max_size=8
)


def cases(rows):
    hours, progress = [], []
    for at, (lift, clamp, ann) in enumerate(rows):
        some = record([lift], [clamp], "Ann" if ann else "Bob", at)
        hours, progress = hours + some[0], progress + some[1]
    return hours, progress


@settings(deadline=None, max_examples=60)
@given(hours_of_steps, st.integers(0, 7), st.floats(1.01, 1.6))
def test_more_hours_on_a_step_never_lower_its_rate(rows, which, more):
    which %= len(rows)
    raised = [
        (lift * more if at == which else lift, clamp, ann)
        for at, (lift, clamp, ann) in enumerate(rows)
    ]
    before, after = learned(folder(*cases(rows))), learned(folder(*cases(raised)))
    assume(before.left_out == after.left_out == ())  # what is left out is another question
    assert after.rates[0].learned >= before.rates[0].learned


@settings(deadline=None, max_examples=30)
@given(hours_of_steps, st.floats(0.5, 1.1))
def test_all_hours_and_the_table_scaled_scale_every_rate(rows, by):
    plain = folder(*cases(rows))
    scaled = replace(
        plain,
        rates=tuple(replace(row, hours_per_unit=row.hours_per_unit * by) for row in RATES),
        hours_worked=tuple(replace(row, hours=row.hours * by) for row in plain.hours_worked),
    )
    before, after = learned(plain), learned(scaled)
    assert len(before.left_out) == len(after.left_out)
    for one, other in zip(before.rates, after.rates, strict=True):
        # hours are kept to a millionth
        assert other.learned == pytest.approx(by * one.learned, rel=1e-5)
        assert other.high == pytest.approx(by * one.high, rel=1e-5)


@settings(deadline=None, max_examples=30)
@given(hours_of_steps, st.randoms(use_true_random=False))
def test_the_order_of_entries_is_of_no_matter(rows, shuffle):
    hours, progress = cases(rows)
    before = learned(folder(hours, progress))
    shuffle.shuffle(hours)
    shuffle.shuffle(progress)
    assert learned(folder(hours, progress)) == before


def test_lost_hours_change_nothing():
    case = invented(3).branch
    kept = tuple(row for row in case.hours_worked if not row.cause)
    assert len(kept) < len(case.hours_worked)
    assert learned(replace(case, hours_worked=kept)) == learned(case)


def test_the_same_record_gives_the_same_figures_to_the_last_digit():
    case = invented(4)
    first = learn(case.branch, case.takeoffs, TODAY)
    assert learn(case.branch, case.takeoffs, TODAY) == first


def test_planning_uses_the_learned_table_with_its_hours_and_spread():
    case = folder(*record([4.0] * 10, [3.0] * 10))
    found = learned(case)
    fresh = replace(case, rates=learned_table(case, found), progress=())
    hours = stage_hours_all(fresh, take_off_all(fresh), TODAY)["S11"]
    assert hours.p50_h == pytest.approx(MODULES * sum(row.learned for row in found.rates))
    assert [step.spread for step in hours.steps] == pytest.approx([r.spread for r in found.rates])
    assert hours.p50_h < hours.p80_h < hours.p90_h
    assert hours.steps[0].source.startswith("learned from 10 stages until 2026-05-04")


def test_the_uncertainty_of_a_rate_widens_the_spread_of_a_stage():
    row = rates_of(folder([entry("S0", "lift", 1.9)], done("S0")))["lift"]
    # by hand: (1 + spread^2) = (1 + residual^2) (1 + uncertainty^2); the residual learns little
    assert 1 + row.spread**2 == pytest.approx((1 + 0.3**2) * (1 + row.uncertainty**2), rel=0.02)


def test_hours_that_a_learned_row_has_in_it_do_not_count_again():
    case = folder(*record([4.0] * 8, [3.0] * 8))
    rows = learned_table(case, learned(case))
    again = learned(replace(case, rates=rows))
    assert [(row.learned, row.stages) for row in again.rates] == [
        (row.hours_per_unit, 0) for row in rows
    ]


def test_hours_after_a_learned_row_move_it_by_how_well_it_was_known():
    hours, progress = record([4.0] * 8, [3.0] * 8)
    before = folder(hours, progress)
    rows = learned_table(before, learned(before))
    later = TODAY + timedelta(days=2)
    new = [HoursWorked(later, "S9", "Bob", 1.0, "lift")]
    more = [Progress(later, "S9", "lift", 1.0)]
    found = rates_of(folder(hours + new, progress + more, rates=rows), later)["lift"]
    at_once = rates_of(folder(hours + new, progress + more), later)["lift"]
    assert found.stages == 1
    assert found.learned < rows[0].hours_per_unit
    # the same hours in two portions or one; paces of crews are not kept between
    assert found.learned == pytest.approx(at_once.learned, rel=0.06)


_LEARNED = "learned from 3 stages until {}, rate known to 9.0 %"


@pytest.mark.parametrize(
    "words",
    [
        "",
        "assumed",
        "learned from 3 stages",
        _LEARNED.format("2026-02-31"),
        "ours; " + _LEARNED.format("2026-02-01"),
    ],
)
def test_a_source_in_other_words_is_a_table_row_like_any_other(words):
    assert read_source(words) is None


def test_a_rate_of_no_hours_stays_at_none():
    rates = (replace(RATES[0], hours_per_unit=0.0), RATES[1])
    found = rates_of(folder(*record([4.0] * 3, [3.0] * 3), rates=rates))
    assert (found["lift"].learned, found["lift"].stages) == (0.0, 0)
