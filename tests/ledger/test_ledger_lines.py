"""What is earned where, and who is told apart. Expected figures are by hand from ledger_cases."""

from decimal import Decimal

import pytest
from ledger_cases import book_of, day, done, worked

from crewplan.ledger import Standings, hours_by, hours_in_all
from crewplan.ledger.earned import apportion
from crewplan.model.ledger import Span, Undefined
from crewplan.model.plan_row import PlanRow

WHOLE = Span()


def by_name(book, by, span=WHOLE):
    return {line.name: line for line in hours_by(book, by, span)}


def test_a_week_earns_what_progress_gained_in_it():
    book = book_of(
        hours_worked=(worked("Ann", 8), worked("Ann", 6, on=7)),
        progress=(done("attach", 0.5, on=1), done("attach", 0.8, on=8)),
    )
    weeks = by_name(book, "week")
    assert [(name, line.earned_h) for name, line in weeks.items()] == [
        ("2026-W19", 15),
        ("2026-W20", 9),
    ]
    assert by_name(book, "job", Span(day(7), day(13)))["J1"].earned_h == 9
    assert by_name(book, "job", Span(None, day(13)))["J1"].earned_h == 24


def test_progress_that_is_taken_back_is_earned_less():
    book = book_of(progress=(done("attach", 0.5, on=1), done("attach", 0.4, on=8)))
    assert by_name(book, "week")["2026-W20"].earned_h == -3


def test_crews_share_what_a_stage_earned_by_their_productive_hours_on_it():
    book = book_of(
        hours_worked=(
            worked("Ann", 6),
            worked("Bo", 3),
            worked("Cy", 3),
            worked("Cy", 5, cause="weather"),
        ),
        progress=(done("attach", 1.0),),
    )
    crews = by_name(book, "crew")
    assert (crews["Alder"].earned_h, crews["Birch"].earned_h) == (Decimal("22.5"), Decimal("7.5"))


def test_what_was_earned_without_hours_is_no_crews():
    assert by_name(book_of(progress=(done("wire", 1.0, at="S2"),)), "crew")[""].earned_h == 20


def test_hours_of_somebody_who_left_are_kept_and_their_cost_is_said_to_be_unknown():
    book = book_of(hours_worked=(worked("Ann", 2), worked("Gone", 5, cause="rework")))
    line = by_name(book, "job")["J1"]
    assert (line.worked_h, line.lost_h, line.cost, line.unpriced_h) == (7, 5, 80, 5)
    assert by_name(book, "crew")[""].worked_h == 5


def test_money_is_exact_also_where_an_hour_is_a_third():
    book = book_of(hours_worked=(worked("Cy", 0.333333),) * 3)
    assert hours_in_all(book, Span()).cost == Decimal("0.999999") * Decimal("41.25")


def test_the_week_that_a_new_year_falls_into_is_the_standards():
    """ISO 8601: 1 January 2027 is a Friday of week 53 of 2026."""
    book = book_of(hours_worked=(worked("Ann", 1, on=242),))
    assert day(242).isoformat() == "2027-01-01"
    assert list(by_name(book, "week")) == ["2026-W53"]


def test_an_empty_record_has_no_lines_and_undefined_indices():
    book = book_of()
    assert hours_by(book, "crew", Span()) == ()
    standing = Standings(book, day(0)).in_all()
    assert standing.budget_h == 120
    assert isinstance(standing.cost_index, Undefined)
    assert isinstance(standing.schedule_index, Undefined)


def test_a_promised_job_that_is_half_done_has_a_schedule_index_of_a_half():
    book = book_of(progress=(done("attach", 1.0),))
    assert Standings(book, day(10)).of_jobs()["J1"].schedule_index == Undefined(
        "nothing was to be done by then"
    )  # the promise of builders.job is 15 May, day 11
    assert Standings(book, day(11)).of_jobs()["J1"].schedule_index == pytest.approx(30 / 60)


def test_before_the_promise_the_published_half_days_say_what_was_due():
    """Four half-days from Monday noon; three of them lie before Tuesday's end."""
    plan = (PlanRow("S1", "Alder", day(0), "pm", half_days=4),)
    book = book_of(plan=plan, progress=(done("attach", 1.0), done("wire", 1.0, at="S2")))
    standing = Standings(book, day(1)).of_jobs()["J1"]
    assert standing.promised_h == pytest.approx(40 * 3 / 4)
    assert standing.promised_earned_h == 30  # S2 had no date yet, so it counts on neither side
    assert standing.schedule_index == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [
        (10, {0: 1, 1: 1, 2: 1}, {0: 4, 1: 3, 2: 3}),
        (-10, {0: 1, 1: 1, 2: 1}, {0: -4, 1: -3, 2: -3}),
        (7, {3: 2, 5: 5}, {3: 2, 5: 5}),
        (0, {1: 4}, {1: 0}),
    ],
)
def test_a_whole_number_is_split_into_whole_numbers_that_add_up(total, weights, parts):
    assert apportion(total, weights) == parts
