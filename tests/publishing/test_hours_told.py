"""Hours as CSV, JSON and text: exact where machines read them, named where people do."""

import json
from datetime import date
from decimal import Decimal

import pytest

from crewplan.ledger import stand
from crewplan.model.ledger import (
    HoursLine,
    HoursRecord,
    JobLoss,
    JobMargin,
    LostHours,
    Span,
    Undefined,
    Waterfall,
)
from crewplan.publishing.hours_json import hours_json
from crewplan.publishing.hours_rows import exact_hours, exact_money, hours_cells
from crewplan.publishing.hours_text import hours_text, span_words, unpriced_sentence
from crewplan.publishing.margins_text import MARGIN_COLUMNS, WATERFALL, margin_rows

NONE = Decimal(0)
LINE = HoursLine(
    "J1",
    Decimal("6.5"),
    Decimal("260.125"),
    (LostHours("weather", Decimal(2), Decimal("80.00")),),
    Decimal("12"),
    Decimal("1.5"),
)
FALL = Waterfall(price=1_000_00, labour=260_12, material=100_00, equipment=20_00, lost=80_00,
                 returns=40_00)  # fmt: skip
STANDING = stand(40, 0, 12, 0, 8.5)


def record(name="J1"):
    line = HoursLine(name, LINE.productive_h, LINE.productive_cost, LINE.lost, NONE, NONE)
    unknown = Undefined("the job has no planned hours")
    margin = JobMargin(name, FALL, FALL, FALL, 500_00, 580_00, 7600.0, 2, unknown, ("odd",))
    loss = JobLoss(name, LINE.lost)
    return HoursRecord(
        "job", Span(), date(2026, 5, 4), (line,), line, {name: STANDING}, STANDING,
        {name: margin}, (loss,), (),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("amount", "told"),
    [("45", "45.00"), ("45.10", "45.10"), ("1234.507500", "1234.5075"), ("0", "0.00"),
     ("100", "100.00")],
)  # fmt: skip
def test_money_in_csv_has_all_of_its_digits_and_at_least_cents(amount, told):
    assert exact_money(Decimal(amount)) == told


@pytest.mark.parametrize(("hours", "told"), [("12.600", "12.6"), ("100", "100"), ("0.0", "0")])
def test_hours_in_csv_have_their_digits_and_no_more(hours, told):
    assert exact_hours(Decimal(hours)) == told


def test_a_row_of_csv_is_worked_productive_lost_earned_and_cost():
    assert hours_cells([LINE]) == [("J1", "8.5", "6.5", "2", "12", "340.125")]


def test_what_is_undefined_is_null_in_json_and_says_why():
    told = json.loads(json.dumps(hours_json(record(), "USD", "now"), allow_nan=False))
    (row,) = told["rows"]
    assert row["standing"]["schedule_index"] is None
    assert row["standing"]["undefined"]["schedule_index"] == "nothing was to be done by then"
    assert row["margin"]["share_done"] is None
    assert row["margin"]["now"]["margin"] == pytest.approx(1_000 - 260.12 - 100 - 20 - 80 - 40)
    assert row["lost"] == [{"cause": "weather", "hours": 2.0, "cost": 80.0}]


def test_the_text_carries_the_mark_first_and_tells_what_is_undefined_or_not_counted():
    text = hours_text(record(), "Test", "USD", "clock set by hand: not for work")
    assert text.startswith("clock set by hand: not for work\n")
    assert "'schedule index' is undefined for J1, in all: nothing was to be done by then." in text
    assert "J1: odd." in text


def test_a_crew_that_nobody_knows_has_words_in_the_table():
    assert "not known" in hours_text(record(""), "Test", "USD", "")


def test_hours_without_a_cost_are_said_once():
    assert unpriced_sentence(LINE).startswith("1.5 h are of people who are not in the table")
    assert unpriced_sentence(record().in_all) == ""


@pytest.mark.parametrize(
    ("span", "words"),
    [
        (Span(), "the whole record"),
        (Span(date(2026, 5, 4), None), "from 2026-05-04"),
        (Span(None, date(2026, 5, 4)), "up to 2026-05-04"),
        (Span(date(2026, 5, 4), date(2026, 5, 8)), "2026-05-04 to 2026-05-08"),
    ],
)
def test_the_days_asked_for_stand_in_words(span, words):
    assert span_words(span) == words


def test_the_text_of_jobs_tells_the_range_of_the_margin_and_what_was_lost_by_which_cause():
    text = hours_text(record(), "Test", "USD", "")
    (line,) = [line for line in text.splitlines() if "at completion  " in line and "580.00" in line]
    assert "500.00" in line
    assert "40.00" in line
    assert "0.066" in line  # 499.88 / 7600 W
    assert [line.split() for line in text.splitlines() if "weather 80" in line] == [
        ["J1", "2.00", "80.00", "weather", "80"]
    ]


def test_rows_of_margins_add_up_part_by_part_and_stand_by_what_was_lost():
    one, other = record("J1"), record("J2")
    rows = margin_rows([*one.margins.values(), *other.margins.values()], other.losses)
    named = [dict(zip(MARGIN_COLUMNS, row, strict=True)) for row in rows]
    assert [row["job"] for row in named] == ["J2", "J1"]
    for row in named:
        for state in ("planned", "now", "at_completion"):
            price, *parts, margin = [row[f"{state}_{part}"] for part, _ in WATERFALL]
            assert price - sum(parts) == margin
    assert (named[0]["lost_most_to"], named[0]["lost_cost"]) == ("weather", Decimal(80))
    assert named[0]["per_crew_day"] is None
