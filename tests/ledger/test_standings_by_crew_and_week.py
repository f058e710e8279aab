"""Earned value of crews and at the end of weeks. Figures are by hand from ledger_cases."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_cases import PEOPLE, book_of, day, done, some_hours, some_progress, worked

from crewplan.ledger import Standings, hours_by
from crewplan.ledger.crew_standings import crew_standings
from crewplan.ledger.week_standings import week_standings
from crewplan.model.ledger import Span, Undefined
from crewplan.model.plan_row import PlanRow

HALVES = (
    PlanRow("S1", "Alder", day(0), "pm", half_days=4),
    PlanRow("S3", "Birch", day(10), "am", half_days=4),
)


def by_crew(book, on=30):
    names = [line.name for line in hours_by(book, "crew", Span(None, day(on)))]
    return crew_standings(book, day(on), Standings(book, day(on)), names)


def by_week(book, on=30):
    names = [line.name for line in hours_by(book, "week", Span(None, day(on)))]
    return week_standings(book, day(on), names)


def close(one, other):
    for left, right in zip(flat(one), flat(other), strict=True):
        assert left == (right if isinstance(right, Undefined) else pytest.approx(right, abs=1e-6))


def flat(standing):
    names = [name for name in standing.__slots__ if name != "cost"]
    cost = standing.cost
    return [
        *(getattr(standing, name) for name in names),
        *(getattr(cost, name) for name in cost.__slots__),
    ]


def test_crews_share_a_stage_as_they_worked_on_it_and_its_cost_is_their_own():
    """S1 has 40 planned hours; Ann works 6 h at 40, Cy 2 at 41.25, so that three quarters of it
    are Alder's. 30 h are earned: 22.5 for 6 worked. The rest, 7.5 h, takes 2 h at that pace."""
    book = book_of(
        hours_worked=(worked("Ann", 6), worked("Cy", 2)), progress=(done("attach", 1.0),)
    )
    alder = by_crew(book)["Alder"]
    assert (alder.budget_h, alder.earned_h, alder.worked_h) == (30, 22.5, 6)
    assert (alder.cost_index, alder.estimate_at_index_h) == (3.75, 8)
    assert (alder.schedule_index, alder.estimate_as_planned_h) == (0.75, 13.5)
    assert alder.estimate_at_both_h == pytest.approx(6 + 7.5 / (3.75 * 0.75))
    assert (alder.cost.so_far, alder.cost.at_index) == (240, 320)
    mean = sum(person.cost_per_h for person in PEOPLE) / 3
    assert alder.cost.as_planned == pytest.approx(240 + 7.5 * mean)
    assert alder.cost.at_both == pytest.approx(240 + 40 * 7.5 / (3.75 * 0.75))


def test_a_stage_that_nobody_began_counts_for_the_crew_that_it_is_published_with():
    """Birch has S3 of 40 h in the plan and half of it due; its 5 h went to S4 of 20 h."""
    book = book_of(plan=HALVES, hours_worked=(worked("Cy", 5, at="S4"),))
    birch = by_crew(book, on=10)["Birch"]
    assert (birch.budget_h, birch.promised_h, birch.worked_h) == (60, 20, 5)
    assert isinstance(birch.cost.at_index, Undefined)


def test_lost_hours_of_who_left_have_no_cost_and_say_so():
    book = book_of(hours_worked=(worked("Gone", 5),), progress=(done("attach", 0.5),))
    [(gone, standing)] = by_crew(book).items()
    assert gone == ""
    assert (standing.cost.so_far, standing.cost.at_index) == (
        0, Undefined("no hour has a known cost"),
    )  # fmt: skip


def test_a_week_stands_as_the_branch_did_at_its_end():
    """All half-days of S1, 40 h, lie in the first week; by the end of the second both jobs were
    promised (builders.job: day 11), all 120 h. Ann costs 40 an hour."""
    book = book_of(
        plan=HALVES,
        hours_worked=(worked("Ann", 8), worked("Ann", 6, on=8)),
        progress=(done("attach", 0.5, on=1), done("attach", 1.0, on=8)),
    )
    first, second = by_week(book).values()
    assert (first.promised_h, first.earned_h, first.worked_h) == (40, 15, 8)
    assert first.schedule_index == 15 / 40
    assert (second.promised_h, second.earned_h, second.worked_h) == (120, 30, 14)
    assert (first.cost.so_far, second.cost.so_far) == (320, 560)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(some_hours, max_size=30),
    some_progress,
    st.integers(0, 45),
    st.sampled_from([(), HALVES]),
)
def test_each_week_is_what_the_whole_record_up_to_its_last_day_says(hours, progress, on, plan):
    book = book_of(plan=plan, hours_worked=tuple(hours), progress=tuple(progress))
    for name, standing in by_week(book, on).items():
        sunday = min(day(on), day(0).fromisocalendar(int(name[:4]), int(name[-2:]), 7))
        close(standing, Standings(book, sunday).in_all())


@settings(max_examples=60, deadline=None)
@given(
    st.lists(some_hours, max_size=30),
    some_progress,
    st.integers(0, 45),
    st.sampled_from([(), HALVES]),
)
def test_crews_together_are_the_branch(hours, progress, on, plan):
    book = book_of(plan=plan, hours_worked=tuple(hours), progress=tuple(progress))
    whole = Standings(book, day(on))
    crews = crew_standings(book, day(on), whole, ("Alder", "Birch", ""))
    for name in ("budget_h", "promised_h", "earned_h", "promised_earned_h", "worked_h"):
        total = sum(getattr(one, name) for one in crews.values())
        assert total == pytest.approx(getattr(whole.in_all(), name), abs=1e-5), name
    cost = sum(one.cost.so_far for one in crews.values())
    assert cost == pytest.approx(whole.in_all().cost.so_far)
