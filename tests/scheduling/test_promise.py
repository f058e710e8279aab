"""A day that can be promised: behind all that is promised, from records, and never from nothing."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from builders import NOW, job, plane, stage, weather
from hypothesis import given, settings
from hypothesis import strategies as st
from promise_cases import (
    AUTHORITY,
    TODAY,
    a_branch,
    asked_about,
    calibration,
    promise_for,
    with_crew,
)
from scipy.optimize import linprog

from crewplan.model.material_rows import Item, Stock
from crewplan.model.promise import LikelyDays
from crewplan.model.waiting_rows import Authority, Inspection, LeadTime, Requirement
from crewplan.readiness.curves import kaplan_meier
from crewplan.readiness.waits import Waits
from crewplan.running.new_job import Asked, CannotAsk, even_rows, new_job
from crewplan.scheduling.promising.answers_drawn import granted_on
from crewplan.scheduling.promising.promise import likely_days
from crewplan.scheduling.promising.queue import Crews, done_on, serve
from crewplan.scheduling.promising.waiting import record_of

TWENTY_DAYS = [LeadTime("permit", date(2026, 3, 1), AUTHORITY, date(2026, 3, 21))]
"""A record of one request, which took twenty days."""


def branch_of(seed: int = 1, **changes):
    return a_branch(np.random.default_rng(seed), **changes)


def days_of(answer) -> tuple[date, date]:
    assert answer.done.half_on is not None
    assert answer.done.likely_on is not None
    return answer.done.half_on, answer.done.likely_on


def test_the_same_seed_gives_the_same_answer_and_another_one_other_draws() -> None:
    held = branch_of()
    first, second = promise_for(held, seed=4), promise_for(held, seed=4)
    assert (first.done, first.by_week) == (second.done, second.by_week)
    assert promise_for(held, seed=5).by_week != first.by_week


def test_eighty_per_cent_days_hold_in_about_four_of_five_invented_cases() -> None:
    """A tenth of `tests/benchmarks/promise_calibration.py`. Of 40, fewer than 25 or all 40 by the
    80 % day are less than 1 in 100 likely (binomial, by scipy) where it is right."""
    found = calibration(40, draws=150)
    assert found.told == 40
    assert 11 <= found.done[0] <= 31
    assert 25 <= found.done[1] < 40


@pytest.mark.parametrize("seed", range(4))
def test_a_longer_backlog_never_gives_an_earlier_date(seed: int) -> None:
    held, new = branch_of(seed), asked_about(branch_of(seed))
    longer = replace(
        held,
        jobs=(*held.jobs, job("MORE", authority=AUTHORITY)),
        planes=(*held.planes, plane(job="MORE", rows=(8,) * 6)),
        stages=(*held.stages, stage("MORE-roof", job="MORE", min_people=2)),
        requirements=(
            *held.requirements,
            Requirement("MORE", "permit", "granted"),
            Requirement("MORE", "survey", "granted"),
        ),
    )
    before, after = promise_for(held, new=new), promise_for(longer, new=new)
    assert days_of(after) >= days_of(before)
    assert days_of(after)[1] >= days_of(before)[1]
    assert after.behind_h > before.behind_h


@pytest.mark.parametrize("seed", range(4))
def test_a_crew_more_never_gives_a_later_date(seed: int) -> None:
    held, new = branch_of(seed, crews=1, backlog=12), asked_about(branch_of(seed))
    before, after = promise_for(held, new=new), promise_for(with_crew(held, "New"), new=new)
    assert days_of(after)[0] <= days_of(before)[0]
    assert days_of(after)[1] <= days_of(before)[1]


def test_a_busy_branch_promises_a_later_day_than_an_idle_one() -> None:
    """So that the two tests above do not hold for nothing."""
    new = asked_about(branch_of())
    idle = promise_for(branch_of(backlog=1, crews=1), new=new)
    busy = promise_for(branch_of(backlog=40, crews=1), new=new)
    assert days_of(busy)[1] > days_of(idle)[1] + timedelta(days=14)


def test_without_any_record_there_is_no_date() -> None:
    answer = promise_for(branch_of(record=0, requirements=()))
    assert answer.done == LikelyDays(None, None)
    assert answer.no_record == ("permit",)
    assert answer.done_p == (0.0, 0.0)
    assert (answer.stages, answer.by_week) == ((), ())


def test_an_authority_without_a_record_gets_that_of_all_and_it_is_said() -> None:
    held = branch_of(lead_times=tuple(TWENTY_DAYS))
    new = new_job(held, Asked(18, 20.0, "Elsewhere", in_hand=("survey", "kit")), TODAY)
    answer = promise_for(held, new=new)
    assert answer.stages[0].may_start.half_on == TODAY + timedelta(days=20)
    assert "permit: no record with Elsewhere, so past requests to all stand in" in answer.notes


def test_what_is_asked_for_only_after_something_else_waits_for_both() -> None:
    """Letter 10 days, then the permit 20: the roof may start 30 days from today."""
    letters = [LeadTime("structural_letter", date(2026, 3, 1), AUTHORITY, date(2026, 3, 11))]
    held = branch_of(
        lead_times=(*TWENTY_DAYS, *letters),
        authorities=(Authority(AUTHORITY, ("structural_letter",)),),
        backlog=1,
    )
    answer = promise_for(held)
    assert answer.stages[0].may_start == LikelyDays(*[TODAY + timedelta(days=30)] * 2)


def test_a_kind_that_lead_times_do_not_know_is_read_from_requirements() -> None:
    rows = (
        Requirement("P00", "survey", "granted", date(2026, 4, 1), date(2026, 4, 8)),
        Requirement("P01", "survey", "asked", date(2026, 4, 20)),
    )
    held = replace(branch_of(backlog=2), requirements=rows)
    waits = record_of(held, TODAY).waits("survey", AUTHORITY)
    assert waits is not None
    assert waits.own is not None
    assert (waits.days_for(0.5), waits.own.requests) == (7, 2)


def test_of_requests_that_are_out_only_longer_waits_are_drawn() -> None:
    """Five took 5 days, five took 15; who has waited 10 will have waited 15, whatever is drawn."""
    waits = Waits(None, kaplan_meier([5] * 5 + [15] * 5, [True] * 10))
    asked = np.full(50, float((TODAY - timedelta(days=10)).toordinal()))
    chance = np.linspace(0.001, 0.999, 50)
    drawn = granted_on(waits, asked, TODAY.toordinal(), chance)
    assert set(drawn) == {TODAY.toordinal() + 5}


def test_draws_past_the_end_of_the_record_never_come() -> None:
    """One of two still waits after 30 days: half of the draws are never granted."""
    waits = Waits(None, kaplan_meier([10, 30], [True, False]))
    asked = np.full(10, float(TODAY.toordinal()))
    drawn = granted_on(waits, asked, TODAY.toordinal(), np.linspace(0.05, 0.95, 10))
    assert np.isinf(drawn).sum() == 5
    assert set(drawn[np.isfinite(drawn)]) == {TODAY.toordinal() + 10}


def test_a_kit_that_neither_stock_nor_a_record_covers_gives_no_date() -> None:
    held = branch_of(items=(Item("M400", "module"),), stock=(Stock("M400", 5.0),))
    asked = Asked(18, 20.0, AUTHORITY, in_hand=("survey",))
    answer = promise_for(held, new=new_job(held, asked, TODAY))
    assert answer.no_record == ("kit",)
    kits = [LeadTime("kit", date(2026, 1, 1), "Seller", date(2026, 2, 20))]
    ordered = replace(held, lead_times=(*TWENTY_DAYS, *kits))
    answer = promise_for(ordered, new=new_job(held, asked, TODAY))
    assert answer.stages[0].may_start.half_on == TODAY + timedelta(days=50)


def test_days_of_which_no_weather_is_known_promise_no_roof() -> None:
    held = branch_of(weather_past=weather(), lead_times=tuple(TWENTY_DAYS))
    answer = promise_for(held)
    assert answer.done == LikelyDays(None, None)
    assert answer.stages[0].may_start.likely_on == TODAY + timedelta(days=20)
    assert any("fewer than 10 past days" in note for note in answer.notes)


def test_what_often_fails_its_first_inspection_is_done_later() -> None:
    stages = (
        stage("P00-roof", job="P00", min_people=2),
        stage("P00-inspection", job="P00", kind="inspection", after=("P00-roof",)),
    )
    held = branch_of(backlog=1, stages=stages)
    seen = [
        Inspection(AUTHORITY, date(2026, 3, 1) + timedelta(days=one), passed=False)
        for one in range(20)
    ]
    passing = promise_for(held)
    failing = promise_for(replace(held, inspections=tuple(seen)))
    assert "no record of first inspections: none is taken to fail" in passing.notes
    assert days_of(failing) > days_of(passing)


def test_chances_by_week_grow_and_pass_the_shares_on_the_days_told() -> None:
    answer = promise_for(branch_of())
    half_on, likely_on = days_of(answer)
    shares = [p for _, p in answer.by_week]
    assert shares == sorted(shares)
    assert all(day.weekday() == 6 for day, _ in answer.by_week)
    assert all(p >= 0.5 for day, p in answer.by_week if day >= half_on)
    assert all(p >= 0.8 for day, p in answer.by_week if day >= likely_on)
    assert all(p < 0.8 for day, p in answer.by_week if day < likely_on)


def test_four_of_five_draws_make_the_eighty_per_cent_day() -> None:
    """By hand: of days 1, 2, 3, 4 and never, three are half, four are 80 %."""
    days = np.array([4.0, 1.0, np.inf, 3.0, 2.0]) + TODAY.toordinal()
    assert likely_days(days) == LikelyDays(date(2026, 5, 6), date(2026, 5, 7))


def test_modules_lie_in_even_rows() -> None:
    assert even_rows(18) == (6, 6, 6)
    assert even_rows(17) == (6, 6, 5)
    assert even_rows(8) == (8,)


def test_a_new_job_asks_for_what_most_stages_of_the_branch_ask_for() -> None:
    held = branch_of(backlog=3)
    rows = tuple(replace(row, certificates=("roof_anchor",)) for row in held.stages)
    new = new_job(replace(held, stages=rows), Asked(18, 20.0, AUTHORITY), TODAY)
    assert [(row.kind, row.certificates) for row in new.stages] == [("roof", ("roof_anchor",))]


def test_a_module_that_nobody_has_cannot_be_asked_about() -> None:
    with pytest.raises(CannotAsk, match="M999"):
        new_job(branch_of(), Asked(18, 20.0, AUTHORITY, module="M999"), TODAY)


def test_work_is_done_on_the_first_day_on_which_the_free_hours_suffice() -> None:
    """By hand: from the second day on, 3 + 5 hours are 8."""
    free = np.array([[9.0, 3.0, 5.0, 7.0]] * 4)
    work, start = np.array([8.0, 8.1, 0.0, 99.0]), np.array([1.0, 1.0, 2.0, 0.0])
    assert done_on(free, work, start).tolist() == [2.0, 3.0, 2.0, np.inf]
    assert done_on(free[:1], work[:1], np.array([np.inf])).tolist() == [np.inf]


queues = st.integers(0, 2**32 - 1)


def a_queue(seed: int) -> tuple[Crews, np.ndarray, np.ndarray]:
    """Three classes and a new one, four crews, six days; one in four hours is none."""
    rng = np.random.default_rng(seed)
    may = np.repeat(rng.random((4, 4, 1)) < 0.5, 6, axis=2)
    crews = Crews(rng.integers(0, 9, (4, 6)).astype(float), may)
    coming = rng.integers(0, 20, (2, 6, 3)) * (rng.random((2, 6, 3)) < 0.5)
    return crews, coming.astype(float), rng.choice([0.0, 0.5, 1.0], (2, 6, 3))


@given(queues)
@settings(max_examples=60, deadline=None)
def test_crews_serve_as_much_of_each_day_as_can_be_shared_out(seed: int) -> None:
    """Held against a linear program of the first day: hours of crews to classes."""
    crews, coming, productive = a_queue(seed)
    served = serve(crews, coming, productive)
    share, wanted = productive[0, 0], coming[0, 0]
    done = (wanted - served.left[0, 0]) / np.where(share > 0, share, 1.0)
    need = np.where(share > 0, wanted / np.where(share > 0, share, 1.0), 0.0)
    for first in range(1, 4):
        # crew hours given to the first classes, [class, crew] laid flat
        by_class = np.kron(np.eye(first), np.ones(4))
        by_crew = np.kron(np.ones(first), np.eye(4))
        best = linprog(
            -crews.may[:first, :, 0].ravel().astype(float),
            np.vstack([by_class, by_crew]),
            np.concatenate([need[:first], crews.hours[:, 0]]),
            bounds=[(0, None if may else 0) for may in crews.may[:first, :, 0].ravel()],
        )
        assert done[:first].sum() == pytest.approx(-best.fun, abs=1e-7)


@given(queues)
@settings(max_examples=60, deadline=None)
def test_in_a_queue_more_crews_or_less_work_leave_no_less_free(seed: int) -> None:
    crews, coming, productive = a_queue(seed)
    rng = np.random.default_rng(seed + 1)
    start, work = np.zeros(2), np.full(2, 10.0)
    before = done_on(serve(crews, coming, productive).free[:, :, 0], work, start)
    more = replace(
        crews,
        hours=np.vstack([crews.hours, rng.integers(0, 9, (1, 6))]),
        may=np.concatenate([crews.may, np.repeat(rng.random((4, 1, 1)) < 0.5, 6, axis=2)], axis=1),
    )
    assert np.all(done_on(serve(more, coming, productive).free[:, :, 0], work, start) <= before)
    longer = coming + rng.integers(0, 9, coming.shape)
    assert np.all(done_on(serve(crews, longer, productive).free[:, :, 0], work, start) >= before)


def test_now_is_a_value_and_no_clock_is_asked() -> None:
    held = branch_of()
    later = promise_for(held, at=NOW + timedelta(days=1))
    assert days_of(later) >= days_of(promise_for(held))
