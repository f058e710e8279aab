"""Each form, fault, question and conflict as a browser shows it, on a phone and a screen."""

import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect
from test_board_in_a_browser import serious

sys.path.insert(0, str(Path(__file__).parents[1] / "store"))

from form_boards import small_view, visit_of_today
from store_cases import PLAN, tables_into

from crewplan.running.board_view import BoardView
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from dashboard.app import create_app, make_server

pytestmark = pytest.mark.browser
Opener = Callable[..., tuple[Page, list[str]]]
FORMS = {
    "hub": "/enter",
    "states": "/enter/states",
    "pins": "/enter/pins",
    "hours": "/enter/hours?stage=S1",
    "share done": "/enter/progress?stage=S1",
    "load": "/enter/load?stage=S1",
    "reading": "/enter/reading?stage=S1&crew=Blue",
    "state": "/enter/state?job=J2&kind=permit",
    "pin": "/enter/pin?stage=S1&part=1",
    "publish": "/enter/publish",
}


def board_on(folder: Path, view: BoardView) -> str:
    """The address of a board on a database of the small branch."""
    store = open_store(place_of(folder / "db"), create=True)
    tables_into(store, folder / "planned", plan=PLAN)
    server = make_server(create_app(view, None, str(folder / "db")))
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    return board_on(tmp_path_factory.mktemp("forms"), small_view())


def sound(page: Page, said: list[str], *expected: str) -> None:
    """Quiet, accessible, every field with a label, and no wider than the screen, at both widths."""
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 850})
        for words in expected:  # first: it waits for the page that a click has asked for
            expect(page.get_by_text(words).first).to_be_visible()
        page.wait_for_load_state()
        too_wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert (serious(page), max(too_wide, 0)) == ([], 0), f"{width} px"
        assert [line for line in said if "status of 4" not in line] == []


def keep(page: Page) -> None:
    page.get_by_role("button", name="Keep", exact=True).click()


@pytest.mark.parametrize("name", FORMS)
def test_a_form_is_quiet_accessible_and_as_wide_as_the_screen(
    open_page: Opener, address: str, name: str
) -> None:
    page, said = open_page(address + FORMS[name])
    sound(page, said)


def test_a_lead_enters_the_crews_hours_with_a_thumb_and_no_script(
    open_page: Opener, address: str
) -> None:
    page, _ = open_page(address + FORMS["hours"], java_script_enabled=False)
    page.get_by_label("Hours worked, each").fill("7,5")
    page.get_by_label("Lost for").select_option("weather")
    keep(page)
    for words in ('"7,5" is not a number', "Say how many hours were lost"):
        expect(page.get_by_text(words)).to_be_visible()
    expect(page.get_by_label("Hours worked, each")).to_have_value("7,5")
    page.get_by_label("Hours worked, each").fill("7.5")
    page.get_by_label("Hours lost, each").fill("0.5")
    keep(page)
    expect(page.get_by_role("status")).to_have_text("Kept: 16 h of 2 people.")
    page.reload()  # sends nothing again
    expect(page.locator("tbody tr")).to_have_count(4)


def test_faults_questions_and_conflicts_are_quiet_and_accessible(
    open_page: Opener, address: str
) -> None:
    page, said = open_page(address + FORMS["hours"])
    keep(page)
    sound(page, said, "Not kept yet.", "Say how many hours were worked")
    page.get_by_label("Hours worked, each").fill("17")
    keep(page)
    sound(page, said, "Is this right?", "more than 16 h")
    page.get_by_role("button", name="It is right: keep it anyway").click()
    sound(page, said, "Kept: 34 h of 2 people.")
    one, said_one = open_page(address + FORMS["state"])
    other, _ = open_page(address + FORMS["state"])
    for browser, state in ((other, "refused"), (one, "not_needed")):
        browser.get_by_label("It is").select_option(state)
        keep(browser)
    sound(one, said_one, "Not kept yet:", "Keep theirs", "Put mine in its place")
    one.get_by_role("link", name="Keep theirs").click()
    expect(one.get_by_label("It is")).to_have_value("refused")


def test_the_keyboard_alone_fills_a_reading_in(open_page: Opener, address: str) -> None:
    page, _ = open_page(address + FORMS["reading"])
    page.get_by_label("Gust (highest shown)").focus()
    page.keyboard.type("12")
    page.keyboard.press("Tab")
    expect(page.get_by_label("Mean, if shown")).to_be_focused()
    page.keyboard.type("8")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Kept.")
    expect(page.locator("tbody tr")).to_have_count(1)


@pytest.mark.parametrize("path", ["/tomorrow", "/small/tomorrow"])
def test_what_is_measured_turns_the_crews_page_to_no_go(
    open_page: Opener, tmp_path: Path, path: str
) -> None:
    page, said = open_page(f"{board_on(tmp_path, visit_of_today())}{path}?crew=Alder")
    lift: Any = page.locator("#page .verdict, main .verdict").first.locator("b:visible")
    expect(lift).to_have_text("GO")
    page.get_by_role("link", name="Wind measured").first.click()
    page.get_by_label("Gust (highest shown)").fill("31")
    keep(page)
    sound(page, said, "NO-GO for lift: measured on the roof")
    page.get_by_role("link", name="Back").click()
    page.wait_for_url("**/tomorrow*", wait_until="load")  # its styles hide the other word
    expect(lift).to_have_text("NO-GO")
    expect(page.get_by_text("Measured on the roof at").first).to_be_visible()
