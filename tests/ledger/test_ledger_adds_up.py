"""Whatever the record and however it is grouped, it adds up to the same hours and money."""

from collections import Counter
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction
from typing import get_args

import pytest
from builders import job
from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_cases import PEOPLE, book_of, day, some_hours, some_progress

from crewplan.ledger import hours_by, hours_in_all, job_margins, questions
from crewplan.model.ledger import By, Span
from crewplan.model.material_rows import Arrival

WAYS = get_args(By)
TABLES = {
    "jobs": (job("J1", authority="Hill", price=10_000.0), job("J2", price=8_000.0)),
    "arrivals": (Arrival("end clamp", 5, day(3), "Sun Supply"),),
}
some_spans = st.tuples(st.integers(-1, 41), st.integers(0, 41)).map(
    lambda ends: Span(day(ends[0]), day(ends[0]) + timedelta(days=ends[1]))
)
spans = st.one_of(st.just(Span()), some_spans)


def total(lines, field):
    return sum((getattr(line, field) for line in lines), Decimal(0))


@settings(max_examples=60, deadline=None)
@given(st.lists(some_hours, max_size=40), some_progress, spans)
def test_totals_of_every_grouping_are_one_and_the_same(hours, progress, span):
    book = book_of(**TABLES, hours_worked=tuple(hours), progress=tuple(progress))
    whole = hours_in_all(book, span)
    for by in WAYS:
        lines = hours_by(book, by, span)
        for field in (
            "worked_h", "productive_h", "lost_h", "earned_h", "cost", "lost_cost", "unpriced_h",
        ):  # fmt: skip
            assert total(lines, field) == getattr(whole, field), (by, field)


@settings(max_examples=40, deadline=None)
@given(st.lists(some_hours, max_size=40), spans)
def test_every_hour_is_productive_or_lost_for_one_cause_and_costs_what_its_person_costs(
    hours, span
):
    """Recomputed row by row in fractions."""
    cost_of = {person.person: Fraction(str(person.cost_per_h)) for person in PEOPLE}
    inside = [
        row
        for row in hours
        if (span.first is None or row.day >= span.first)
        and (span.last is None or row.day <= span.last)
    ]
    expected_h, expected_cost = Counter(), Counter()
    for row in inside:
        exact = Fraction(str(row.hours))
        expected_h[row.cause or "productive"] += exact
        expected_cost[row.cause or "productive"] += exact * cost_of.get(row.person, 0)
    lines = hours_by(book_of(hours_worked=tuple(hours)), "cause", span)
    assert {line.name: Fraction(line.worked_h) for line in lines} == expected_h
    assert {line.name: Fraction(line.cost) for line in lines} == expected_cost


@settings(max_examples=30, deadline=None)
@given(st.data(), st.lists(some_hours, max_size=25), some_progress)
def test_entering_hours_and_progress_in_any_order_gives_the_same_ledger(data, hours, progress):
    one = book_of(**TABLES, hours_worked=tuple(hours), progress=tuple(progress))
    other = book_of(
        **TABLES,
        hours_worked=tuple(data.draw(st.permutations(hours))),
        progress=tuple(data.draw(st.permutations(progress))),
    )
    for by in WAYS:
        assert hours_by(one, by, Span()) == hours_by(other, by, Span())
    assert job_margins(one, day(40)) == job_margins(other, day(40))
    assert questions(one, Span(), day(20)) == questions(other, Span(), day(20))


@settings(max_examples=30, deadline=None)
@given(st.lists(some_hours, max_size=25), some_progress, st.integers(0, 40))
def test_the_days_before_and_the_days_after_add_up_to_the_whole_record(hours, progress, cut):
    book = book_of(hours_worked=tuple(hours), progress=tuple(progress))
    before, after = Span(None, day(cut)), Span(day(cut + 1), None)
    for field in ("worked_h", "lost_h", "earned_h", "cost"):
        parts = [hours_in_all(book, before), hours_in_all(book, after)]
        assert total(parts, field) == getattr(hours_in_all(book, Span()), field)


@settings(max_examples=30, deadline=None)
@given(st.lists(some_hours, max_size=25), some_progress)
def test_earned_hours_are_planned_hours_times_the_share_seen_last(hours, progress):
    planned = {"protect": ("S1", "S3", 10), "attach": ("S1", "S3", 30), "wire": ("S2", "S4", 20)}
    last = {(row.stage, row.step): row.share_done for row in sorted(progress, key=lambda r: r.day)}
    expected = sum(
        planned[step][2] * share for (at, step), share in last.items() if at in planned[step][:2]
    )
    book = book_of(hours_worked=tuple(hours), progress=tuple(progress))
    assert float(hours_in_all(book, Span()).earned_h) == pytest.approx(expected, abs=1e-5)
