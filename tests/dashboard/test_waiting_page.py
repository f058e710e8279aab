"""The office's page: today's calls, what each job waits for, and the tables to take along."""

import csv
import io
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from board_views import full_view, one_job_view
from openpyxl import load_workbook

from crewplan.model.plan_row import PlanRow
from crewplan.model.waiting_rows import Requirement
from crewplan.running.board_view import BoardView
from dashboard.app import create_app
from dashboard.pages.waiting import waiting_page
from dashboard.plain_html import to_html
from dashboard.tables.awaited import awaited_jobs, ready_of

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)


def waiting(requirements: tuple[Requirement, ...] = (), **tables: object) -> BoardView:
    """One job, published with Alder for Monday."""
    seen = one_job_view()
    plan = (PlanRow("S1", "Alder", date(2026, 5, 4)),)
    changes = {"requirements": requirements, "plan": plan} | tables
    return replace(seen, branch=replace(seen.branch, **changes))  # type: ignore[arg-type]


def shown(view: BoardView, now: datetime = NOW, writes: bool = False) -> str:
    return to_html(waiting_page(view, now, writes))


def test_a_call_says_whom_why_what_to_say_and_what_a_day_costs() -> None:
    text = shown(waiting((Requirement("J1", "permit", "open"),)))
    assert "To call on Sun 3 May" in text
    assert "Permit has not been asked for; holds S1 from Mon 4 May" in text
    assert "Ask for the permit of J1; it is wanted by Mon 4 May." in text
    assert " USD" in text
    assert "Marigold household" in text


def test_the_dearest_delay_is_called_about_first() -> None:
    ready = ready_of(full_view())
    costs = [call.cost_a_day for call in ready.calls]
    assert len(costs) > 3
    assert costs == sorted(costs, reverse=True)


def test_a_job_with_all_in_hand_waits_for_nothing() -> None:
    view = waiting((Requirement("J1", "permit", "granted", granted_on=date(2026, 4, 20)),))
    told = shown(view)
    assert "permit" not in told.split("What each job waits for")[1].lower()


def test_what_is_in_hand_is_not_told_among_what_is_awaited() -> None:
    rows = (
        Requirement("J1", "permit", "granted", granted_on=date(2026, 4, 20)),
        Requirement("J1", "deposit", "open"),
    )
    [job] = awaited_jobs(ready_of(waiting(rows)))
    assert job.job.job == "J1"
    assert any(words.startswith("deposit has not been asked for") for words in job.stages[0].words)
    assert not any(words.startswith("permit") for words in job.stages[0].words)


def test_whoever_enters_states_is_led_to_the_form_of_what_they_call_about() -> None:
    view = waiting((Requirement("J1", "permit", "open"),))
    link = "/enter/state?job=J1&amp;kind=permit"
    assert link in shown(view, writes=True)
    assert "/enter/state" not in shown(view)


def test_calls_of_an_earlier_day_say_so() -> None:
    view = replace(waiting((Requirement("J1", "permit", "open"),)), clock="now")
    assert 'data-stale="age"' not in shown(view)
    later = datetime(2026, 5, 4, 5, 1, tzinfo=UTC)  # 00:01 of Monday in Chicago
    text = shown(view, later)
    assert 'data-stale="age"' in text
    assert "worked out on an earlier day" in text


def fetched(view: BoardView, address: str) -> bytes:
    answer = create_app(view).server.test_client().get(address)
    assert answer.status_code == 200, answer.text
    assert answer.headers["Content-Disposition"].startswith("attachment")
    return answer.get_data()


def rows_of(view: BoardView, address: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(fetched(view, address).decode())))


def test_the_calls_as_csv_are_those_of_the_page() -> None:
    view = full_view()
    rows = rows_of(view, "/waiting/export/calls.csv")
    assert [row["job"] for row in rows] == [call.job for call in ready_of(view).calls]


@pytest.mark.parametrize(
    ("page", "sheets"),
    [
        ("week", ["placed", "left out"]),
        ("tomorrow", ["verdicts", "load"]),
        ("waiting", ["calls", "waiting"]),
    ],
)
def test_a_page_is_taken_along_as_a_workbook(page: str, sheets: list[str]) -> None:
    book = load_workbook(io.BytesIO(fetched(full_view(), f"/{page}/export/all.xlsx")))
    assert book.sheetnames == sheets
    assert all(book[name].max_row > 1 for name in sheets)


def test_the_week_as_csv_has_a_row_a_visit_and_its_prices_add_up_to_the_plans() -> None:
    view = full_view()
    placed, left = (rows_of(view, f"/week/export/{name}.csv") for name in ("placed", "left-out"))
    assert len(placed) == 60  # each of a day
    cents = sum(round(float(row["cost"]) * 100) for row in (*placed, *left))
    assert cents == view.plan.objective


def test_a_verdict_that_is_void_by_now_leaves_as_unknown() -> None:
    view = one_job_view(clock="now")  # of May 2026: long void
    rows = rows_of(view, "/tomorrow/export/verdicts.csv")
    assert {row["verdict"] for row in rows} == {"unknown"}
    by_hand = rows_of(one_job_view(), "/tomorrow/export/verdicts.csv")
    assert {row["verdict"] for row in by_hand} == {"go"}


def test_a_text_that_a_spreadsheet_would_run_is_marked() -> None:
    view = one_job_view()
    job = replace(view.branch.jobs[0], customer="=1+1")
    view = replace(view, branch=replace(view.branch, jobs=(job,)))
    assert rows_of(view, "/week/export/placed.csv")[0]["customer"] == "'=1+1"
