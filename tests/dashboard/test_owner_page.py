"""The owner's page: figures are pure, words say the same, and exports are what is shown."""

import csv
import io
import re
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from board_views import full_view
from openpyxl import load_workbook
from shared_board import Shared, share

from crewplan.ledger.outliers import LEAST_JOBS, job_paces
from crewplan.model.ledger import LabourCost, Span, Standing, Undefined
from crewplan.model.owner import JobPace, OwnerView
from crewplan.model.work_rows import HoursWorked
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from dashboard.figures.owner_bars import (
    MOST_MARKS,
    losses_over_time,
    plan_against_actual,
    waterfall,
)
from dashboard.owner_desk import owner_look, span_of
from dashboard.pages.hours import hours_page
from dashboard.plain_html import to_html
from dashboard.tables.owner_tables import EXPORTS, lost_causes, lost_sheet, waterfall_sheet
from dashboard.text.owner_words import pace_words, span_sentence


@pytest.fixture(scope="module")
def board(manned: Path) -> Shared:
    """A shared board of the full view."""
    return share(open_store(place_of(manned)))


def view_with_hours() -> BoardView:
    """Three people's hours of two weeks before the look, a third of them lost."""
    view = full_view()
    start = view.asked_at.date() - timedelta(days=14)
    stages = [stage.stage for stage in view.branch.stages]
    causes = ("", "weather", "travel", "", "rework", "")
    rows = tuple(
        HoursWorked(
            start + timedelta(days=at % 12),
            stages[at % len(stages)],
            person.person,
            2.25,
            cause=causes[at % 6],  # type: ignore[arg-type]
        )
        for person in view.branch.people[:3]
        for at in range(24)
    )
    return replace(view, branch=replace(view.branch, hours_worked=rows))


def looked(view: BoardView, search: str) -> OwnerView:
    found = owner_look(view, search)
    assert found is not None
    assert not found.behind
    return found.shown


def test_the_page_tells_in_words_what_its_figures_show():
    view = view_with_hours()
    page = to_html(hours_page(view, view.asked_at, owner_look(view, "")))
    for words in (
        "From price to margin", "Lost hours by cause, week by week", "Plan against actual",
        "What to change", "return stages", "Most was lost on",
    ):  # fmt: skip
        assert words in page
    for name in EXPORTS:
        assert f"/hours/export/{name}.csv" in page


def test_the_waterfall_of_all_jobs_is_the_sum_of_theirs_and_adds_up_to_the_cent():
    look = looked(view_with_hours(), "")
    columns = list(zip(*waterfall_sheet(look).rows, strict=True))
    for cells, state in zip(columns[1:], ("planned", "now", "at_completion"), strict=True):
        price, *parts, margin = map(Decimal, cells)
        assert price - sum(parts) == margin
        jobs = look.record.margins.values()
        assert margin * 100 == sum(getattr(one, state).margin for one in jobs)


def test_losses_over_time_add_up_to_the_lost_hours_of_the_span_cause_by_cause():
    look = looked(view_with_hours(), "")
    sheet = lost_sheet(look)
    rows = [dict(zip(sheet.columns, row, strict=True)) for row in sheet.rows]
    for part in look.record.in_all.lost:
        assert sum(Decimal(row[f"{part.cause}_h"]) for row in rows) == part.hours
        assert sum(Decimal(row[f"{part.cause}_cost"]) for row in rows) == part.cost
    assert sum(Decimal(row["worked_h"]) for row in rows) == look.record.in_all.worked_h
    assert set(lost_causes(look)) == {"weather", "travel", "rework"}


def test_only_the_days_asked_for_count():
    view = view_with_hours()
    day = view.asked_at.date() - timedelta(days=14)
    look = looked(view, f"?from={day}&to={day}")
    rows = [row for row in view.branch.hours_worked if row.day == day]
    assert look.record.in_all.worked_h == sum(Decimal(str(row.hours)) for row in rows)
    assert looked(view, f"?from={day}&to={day}") is look


@pytest.mark.parametrize(
    ("search", "span"),
    [
        ("", Span()),
        ("?from=2026-04-01&to=2026-04-30", Span(date(2026, 4, 1), date(2026, 4, 30))),
        ("?from=2026-04-01&to=2026-03-30", Span(date(2026, 4, 1), None)),
        ("?from=<b>&to=2026-04-30", Span(None, date(2026, 4, 30))),
    ],
)
def test_days_in_an_address_are_read_or_left_out(search: str, span: Span):
    assert span_of(search) == span
    assert span_sentence(span).endswith(".")


def test_the_record_of_years_is_told_by_months():
    view = view_with_hours()
    old = replace(view.branch.hours_worked[0], day=view.asked_at.date() - timedelta(days=300))
    branch = replace(view.branch, hours_worked=(*view.branch.hours_worked, old))
    look = looked(replace(view, branch=branch), "")
    assert look.step == "month"
    assert look.lost[0].name == f"{old.day:%Y-%m}"
    assert len({one.name for one in look.lost}) == len(look.lost) >= 10


def standing(earned: float, worked: float) -> Standing:
    none = Undefined("by hand")
    cost = LabourCost(0, none, none, none)
    return Standing(50, 0, earned, 0, worked, none, none, none, 0, none, none, cost)


def test_a_job_far_from_the_others_is_named_and_of_too_few_none_is():
    """Seven jobs at 1.0 to 1.2 times their plan; one at 3 times lies over Tukey's upper fence."""
    some = {f"J{at}": standing(10, 10 + at * 0.3) for at in range(7)}
    paces = job_paces({**some, "slow": standing(10, 30), "none": standing(0, 5)})
    assert len(paces) == LEAST_JOBS
    assert [one.job for one in paces if one.outlier] == ["slow"]
    assert (paces[0].job, paces[0].times, paces[0].outlier) == ("slow", 3, "over")
    few = job_paces({"J1": standing(10, 10), "slow": standing(10, 30)})
    assert [one.outlier for one in few] == ["", ""]
    look = looked(view_with_hours(), "")
    assert "too few" in pace_words(replace(look, paces=few, paces_told=False))
    assert "reported done yet" in pace_words(replace(look, paces=(), paces_told=False))
    assert "slow stands out, far over" in pace_words(replace(look, paces=paces, paces_told=True))


def test_figures_hold_the_numbers_that_they_are_given():
    fall = waterfall(["price", "labour", "lost", "margin"], [100.0, 60.0, 0.0, 40.0], "USD")
    assert list(fall.data[0].x) == [100, -60, 0, 40]
    assert list(fall.data[0].text) == ["100", "-60", "0", "40"]
    bars = losses_over_time(["2026-W15"], [("weather", [2.0]), ("travel", [1.0])])
    assert [(bar.name, list(bar.y)) for bar in bars.data] == [("weather", [2]), ("travel", [1])]
    marks = plan_against_actual([JobPace("J1", 10, 30, "over"), JobPace("J2", 10, 9, "")])
    assert [list(mark.customdata) for mark in marks.data[1:]] == [["J2"], ["J1"], []]
    assert [list(mark.text) for mark in marks.data[1:]] == [[""], ["J1"], []]
    assert plan_against_actual([]).data


def test_of_very_many_jobs_all_that_stand_out_are_drawn_and_the_furthest_named():
    """By hand: 20 far over and 700 others; of these every second, as 480 have room."""
    far = [JobPace(f"F{at}", 10, 90 - at, "over") for at in range(20)]
    paces = [*far, *(JobPace(f"J{at}", 10, 12 - at / 100, "") for at in range(700))]
    others, over, under = plan_against_actual(paces).data[1:]
    assert list(others.customdata) == [f"J{at}" for at in range(0, 700, 2)]
    assert list(over.customdata) == [f"F{at}" for at in range(20)]
    assert [name for name in over.text if name] == [f"F{at}" for at in range(6)]
    assert len(others.customdata) + len(over.customdata) + len(under.customdata) <= MOST_MARKS
    look = replace(looked(view_with_hours(), ""), paces=tuple(paces), paces_told=True)
    assert pace_words(look).endswith("16 more jobs stand out.")
    assert "F3 stands out" in pace_words(look)
    assert "F4" not in pace_words(look)


def test_of_very_many_jobs_the_table_has_those_that_lost_most_and_says_so(
    monkeypatch: pytest.MonkeyPatch,
):
    monkeypatch.setattr("dashboard.pages.owner.MOST_ROWS", 1)
    view = view_with_hours()
    look = looked(view, "")
    page = to_html(hours_page(view, view.asked_at, owner_look(view, "")))
    [first, *others] = [one.job for one in look.record.losses]
    assert f"The 1 that lost most, of {len(look.record.margins)}; the CSV has all" in page
    table = page.partition("the CSV has all")[2].partition("</table>")[0]
    assert f">{first}<" in table
    assert others
    assert not any(f">{job}<" in table for job in others)


def test_exports_are_the_cells_of_the_page_and_the_workbook_has_numbers(board: Shared):
    client = board.client("owner")
    book = client.get("/hours/export/all.xlsx")
    assert "spreadsheetml" in book.mimetype
    sheets = load_workbook(io.BytesIO(book.data))
    assert len(sheets.sheetnames) == len(EXPORTS)
    for name, sheet in zip(EXPORTS, sheets, strict=True):
        answer = client.get(f"/hours/export/{name}.csv")
        assert answer.headers["Content-Disposition"] == f'attachment; filename="{name}.csv"'
        rows = list(csv.reader(io.StringIO(answer.text)))
        told = list(sheet.iter_rows(values_only=True))
        assert [str(cell) for cell in told[0]] == rows[0]
        for cells, texts in zip(told[1:], rows[1:], strict=True):
            for cell, text in zip(cells, texts, strict=True):
                same = (cell is None and text == "") or str(cell) == text
                assert same or float(cell) == pytest.approx(float(text))
    assert client.get("/hours/export/none.csv").status_code == 404


def test_a_lead_gets_no_export_and_no_page_of_hours(board: Shared):
    client = board.client("lead")
    for address in ("/hours", "/hours/export/margins.csv", "/hours/export/all.xlsx"):
        answer = client.get(address)
        assert answer.status_code == 403
        assert not re.search(r"at completion|price|USD", answer.text)
