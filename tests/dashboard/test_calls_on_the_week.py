"""Whom to call today, told on the week's page; and what both pages say where it is not known."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from board_views import full_view, one_job_view

from crewplan.model.waiting_rows import Requirement
from crewplan.publishing.call_words import whom
from crewplan.running.board_view import BoardView
from dashboard.app import create_app
from dashboard.pages.calls_today import calls_today
from dashboard.pages.week import kept_week
from dashboard.plain_html import to_html
from dashboard.tables import awaited
from dashboard.tables.awaited import FAILED, ready_of

NOW = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)


def shown(view: BoardView, now: datetime = NOW) -> str:
    return to_html(calls_today(view, now))


def test_the_dearest_calls_come_first_and_the_rest_is_on_the_page_of_the_office() -> None:
    view = full_view()
    text, calls = shown(view), ready_of(view).calls
    items = text.split("<li>")[1:]
    assert len(items) == 5
    for item, call in zip(items, calls, strict=False):
        assert whom(ready_of(view), call).split(" (")[0] in item
        assert f"A day of delay costs {call.cost_a_day:.0f} USD." in item
    assert f"The 5 dearest delays of {len(calls)} calls" in text
    assert f'href="/waiting">The {len(calls) - 5} other calls' in text


def test_by_when_is_the_last_day_to_ask_where_the_record_tells_one() -> None:
    view = full_view()
    told = {call.ask_by.by for call in ready_of(view).calls if call.ask_by} - {None}
    text = shown(one_job_view())
    assert "wanted on Fri 15 May" in text
    assert not told  # without a record no day to ask is made up
    assert "ask by" not in text


def test_a_job_with_all_in_hand_says_that_nobody_is_called() -> None:
    view = one_job_view()
    granted = tuple(
        Requirement("J1", kind, "granted", granted_on=date(2026, 4, 20))
        for kind in ("permit", "survey", "design", "kit", "customer_confirmed")
    )
    view = replace(view, branch=replace(view.branch, requirements=granted))
    assert not ready_of(view).calls
    assert "Nobody has to be called today" in shown(view)
    assert 'href="/waiting"' in shown(view)


def test_calls_of_an_earlier_day_age_by_themselves_and_not_with_the_forecast() -> None:
    view = replace(one_job_view(), clock="now", chances_void_after=datetime(2026, 5, 3, tzinfo=UTC))
    risky, calls, _ = to_html(kept_week(view, NOW)).split('<div class="ages"')[1:]
    assert 'data-stale="age"' in risky
    assert 'data-stale="age"' not in calls
    later = datetime(2026, 5, 4, 5, 1, tzinfo=UTC)  # 00:01 of Monday in Chicago
    calls = to_html(kept_week(view, later)).split('<div class="ages"')[2]
    assert 'data-stale="age"' in calls


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The working out fails; how often it was tried."""
    tried: list[int] = []

    def ask_ready(*_: object) -> None:
        tried.append(1)
        raise ZeroDivisionError("Marigold")

    monkeypatch.setattr(awaited, "ask_ready", ask_ready)
    return tried


@pytest.mark.parametrize("path", ["/", "/waiting"])
def test_where_it_cannot_be_worked_out_both_pages_say_so_and_what_to_do(
    path: str, failing: list[int], caplog: pytest.LogCaptureFixture
) -> None:
    board = create_app(one_job_view()).server.test_client()
    for _ in range(2):
        answer = board.get(path)
        assert answer.status_code == 200
    assert "could not be worked out from the tables as of" in answer.text
    assert "tables as of Sun 3 May, 18:00" in answer.text
    assert "Call by your own list today" in answer.text
    assert "Nobody has to be called" not in answer.text
    assert "ZeroDivision" not in answer.text
    assert len(failing) == 1
    [line] = [record.getMessage() for record in caplog.records if FAILED in record.getMessage()]
    assert "ZeroDivisionError in ask_ready, line" in line  # for whoever runs the board
    assert "Marigold" not in line
    if path == "/":
        assert "Who is where when" in answer.text


def test_there_is_no_export_of_what_could_not_be_worked_out(failing: list[int]) -> None:
    answer = create_app(one_job_view()).server.test_client().get("/waiting/export/calls.csv")
    assert answer.status_code == 503
    assert "could not be worked out" in answer.text
