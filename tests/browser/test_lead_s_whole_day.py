"""A crew lead's whole task on a telephone, from a fresh start: an address, a log-in, one day."""

import sys
import threading
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from playwright.sync_api import Page, expect
from shared_cases import PASSWORD
from test_board_in_a_browser import serious
from test_lead_on_a_telephone import blue_today, lift

sys.path.insert(0, str(Path(__file__).parents[1] / "store"))

from store_cases import PLAN, tables_into

from crewplan.store import passwords
from crewplan.store.accounts import add_account
from crewplan.store.connecting import open_store
from crewplan.store.place import place_of
from dashboard.app import create_app, make_server
from dashboard.guard.sharing import Sharing

pytestmark = pytest.mark.browser
WIDTH = 390


@pytest.fixture
def address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Crew Blue's day on a shared board on a database, in which Lea leads Blue."""
    light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(passwords, "_HASHER", light)
    folder = tmp_path / "db"
    store = open_store(place_of(folder), create=True)
    tables_into(store, tmp_path / "planned", plan=PLAN)
    add_account(store, "Lea", "lead", ("Blue",), PASSWORD, "root", datetime.now(UTC))
    server = make_server(create_app(blue_today(), Sharing(store), str(folder)))
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}/small/tomorrow?crew=Blue&lang=en"


def fits(page: Page) -> None:
    too_wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert (serious(page), max(too_wide, 0)) == ([], 0)


def test_a_lead_reads_the_word_loads_and_writes_down_hours_that_stay(
    open_page: Callable[..., tuple[Page, list[str]]], address: str
) -> None:
    page, said = open_page(address, WIDTH)
    page.get_by_label("Name").fill("Lea")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()
    page.wait_for_load_state()  # before the page's style is there, every word of it shows
    expect(lift(page)).to_have_text("GO")
    expect(page.locator(".answer:visible").first).to_contain_text("Go: lift")
    expect(page.locator(".verdict").first).to_contain_text("Counts until")
    fits(page)

    page.get_by_role("link", name="Load", exact=True).click()
    page.get_by_role("checkbox").nth(0).check()
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Kept: 1 changed.")
    page.reload()
    expect(page.get_by_role("checkbox").nth(0)).to_be_checked()
    expect(page.get_by_role("checkbox").nth(1)).not_to_be_checked()
    fits(page)
    page.get_by_role("link", name="Back").click()

    page.get_by_role("link", name="Hours", exact=True).click()
    page.get_by_label("Hours worked, each").fill("6")
    page.get_by_label("Hours lost, each").fill("1.5")
    page.get_by_label("Lost for").select_option("weather")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("status")).to_contain_text("Kept: ")
    lost = page.get_by_role("row").filter(has_text="weather")
    worked = page.get_by_role("row").filter(has_text="worked")
    for _ in range(2):
        expect(lost.first).to_contain_text("1.5 h")
        expect(worked.first).to_contain_text("6 h")
        count = page.locator("table.rows tbody tr").count()
        fits(page)
        page.reload()  # what was kept stays, once
        assert page.locator("table.rows tbody tr").count() == count
    page.get_by_role("link", name="Back").click()
    page.wait_for_url("**/small/tomorrow*")
    expect(lift(page)).to_have_text("GO")
    assert said == []
