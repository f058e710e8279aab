"""The page for new tables in the system's Chromium, on a phone and on a screen."""

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from board_views import one_job_view
from playwright.sync_api import Page, expect
from store.store_cases import PLAN, folder_with, tables_into

from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from dashboard.app import create_app, make_server

pytestmark = pytest.mark.browser
HOURS = "day,stage,person,hours\n2026-05-01,S1,Ann,8\n"
QUESTION = "What would new tables change?"


@pytest.fixture
def board(tmp_path: Path) -> str:
    folder = folder_with(tmp_path / "branch")
    tables_into(open_store(place_of(folder), create=True), folder, hours_worked=HOURS, plan=PLAN)
    server = make_server(create_app(one_job_view(), source=str(folder)))
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"


def _fits(page: Page) -> None:
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 850})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        found = Axe().run(page).response["violations"]
        assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == []


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_the_office_brings_tables_from_faults_to_a_new_version(
    open_page: Callable[..., Any], board: str, tmp_path: Path, script: bool
) -> None:
    page, said = open_page(f"{board}/bring", java_script_enabled=script)
    checked = _fits if script else lambda _page: None
    expect(page.get_by_role("heading", level=1)).to_have_text(QUESTION)
    checked(page)

    def send(table: str, text: str) -> None:
        (tmp_path / table).write_text(text, encoding="utf-8")
        page.locator("input[type=file]").set_input_files([tmp_path / table])
        page.get_by_role("button", name="Read").click()

    send("stock.csv", "item,on_hand\nmid clamp,-4\n")
    expect(page.locator("ol.sentences li")).to_contain_text("stock.csv, row 2, column on_hand")
    checked(page)
    stages = (tmp_path / "branch" / "stages.csv").read_text(encoding="utf-8").splitlines()
    send("stages.csv", "\n".join(line for line in stages if "S1" not in line))
    checked(page)
    page.get_by_role("button", name="Take this in").click()
    expect(page.get_by_role("status")).to_contain_text("is not ticked")
    page.get_by_label("Let S1 go").check()
    page.get_by_role("button", name="Take this in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Version 2 has been taken in.")
    checked(page)
    assert [one for one in said if "422" not in one and "409" not in one] == []


def test_the_other_pages_lead_to_it_as_a_document_of_its_own(
    open_page: Callable[..., Any], board: str
) -> None:
    page, _ = open_page(board, 1280)
    page.locator("#board").get_by_role("link", name="New tables").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(QUESTION)
    expect(page.locator("input[type=file]")).to_be_visible()
    page.get_by_role("link", name="This week").click()
    expect(page.locator("#page h1")).to_have_text("What could break this week?")
