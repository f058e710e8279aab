"""A shared board in a person's browser: logging in by a form, and what it refuses to run."""

import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from shared_board import Shared, share
from shared_cases import LEADS, NAMES, PASSWORD, others_in

from crewplan.store import passwords
from crewplan.store.accounts import add_account, close_account
from crewplan.store.connecting import open_store
from crewplan.store.links import make_link, revoke_link
from crewplan.store.place import place_of
from dashboard.app import make_server

pytestmark = pytest.mark.browser

Opener = Callable[..., tuple[Page, list[str]]]


@pytest.fixture
def board(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Shared, str]:
    """A shared board on a free port, with a lead; and its address."""
    light = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(passwords, "_HASHER", light)
    store = open_store(place_of(tmp_path), create=True)
    add_account(store, NAMES["lead"], "lead", LEADS, PASSWORD, "root", datetime.now(UTC))
    shared = share(store)
    server = make_server(shared.app)
    threading.Thread(target=server.run, daemon=True).start()
    return shared, f"http://127.0.0.1:{server.effective_port}"


def log_in(page: Page) -> None:
    page.get_by_label("Name").fill(NAMES["lead"])
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Log in").click()


def unreadable(page: Page) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [one["id"] for one in found if one["impact"] in ("serious", "critical")]


def test_a_lead_logs_in_by_a_form_and_the_console_stays_empty(
    open_page: Opener, board: tuple[Shared, str]
) -> None:
    page, said = open_page(f"{board[1]}/tomorrow?crew=Alder")
    assert unreadable(page) == []
    log_in(page)
    living = page.locator("#board #page h1")
    expect(living).to_have_text("Can we lift tomorrow?", timeout=20_000)
    expect(page.locator("#page .js-plotly-plot .main-svg").first).to_be_visible()
    expect(page.locator("#board nav > *")).to_have_text(["Tomorrow"])
    assert page.url.endswith("/tomorrow?crew=Alder")
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 850})
        too_wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert (unreadable(page), max(too_wide, 0)) == ([], 0), f"{width} px"
    assert said == []
    page.locator("#board").get_by_role("link", name="Password and sessions").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Password and sessions")
    assert unreadable(page) == []
    page.get_by_role("button", name="Log out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Log in")
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Log in")
    assert others_in(page.content(), ()) == []


def test_a_session_that_ends_takes_its_page_off_the_screen(
    open_page: Opener, board: tuple[Shared, str]
) -> None:
    page, _ = open_page(f"{board[1]}/tomorrow")
    log_in(page)
    expect(page.locator("#board #page")).to_contain_text("Customer Alder")
    close_account(board[0].store, NAMES["lead"], "root", datetime.now(UTC))
    expect(page.get_by_role("heading", level=1)).to_have_text("Log in", timeout=15_000)
    assert "Customer" not in page.content()


def test_a_browser_runs_no_script_that_somebody_brought_into_a_page(
    open_page: Opener, board: tuple[Shared, str]
) -> None:
    page, said = open_page(f"{board[1]}/log-in")
    page.evaluate(
        """() => {
            const script = document.createElement("script");
            script.textContent = "window.ran = 'inline'";
            document.body.append(script);
            const picture = "<img src=x onerror='window.ran = 1'>";
            document.body.insertAdjacentHTML("beforeend", picture);
            const link = document.createElement("a");
            link.href = "javascript:window.ran='link'";
            document.body.append(link);
            link.click();
            const far = document.createElement("script");
            far.src = "https://elsewhere.example/x.js";
            document.body.append(far);
        }"""
    )
    page.wait_for_timeout(300)
    assert page.evaluate("window.ran") is None
    assert sum("Content Security Policy" in line for line in said) >= 4


def days_kept(page: Page) -> int:
    """Pages that the telephone keeps for where there is no network."""
    script = """async () => {
      let count = 0;
      for (const name of await caches.keys()) {
        for (const one of await (await caches.open(name)).keys()) {
          const path = new URL(one.url).pathname;
          if (path === "/small/tomorrow" || path.startsWith("/link/")) { count += 1; }
        }
      }
      return count;
    }"""
    kept: int = page.evaluate(script)
    return kept


def test_what_the_server_refuses_is_no_longer_kept(
    open_page: Opener, board: tuple[Shared, str]
) -> None:
    shared, address = board
    page, _ = open_page(f"{address}/small/tomorrow?crew=Alder")
    log_in(page)
    expect(page.get_by_text("This page is kept on this telephone")).to_be_visible()
    assert days_kept(page) == 1
    close_account(shared.store, NAMES["lead"], "root", shared.now)
    expect(page.get_by_role("heading", level=1)).to_have_text("Log in", timeout=15_000)
    assert days_kept(page) == 0


def test_a_link_s_day_is_kept_until_the_link_is_revoked(
    open_page: Opener, board: tuple[Shared, str]
) -> None:
    shared, address = board
    link, token = make_link(shared.store, "day", "Birch", timedelta(days=1), "Mo", shared.now)
    page, said = open_page(f"{address}/link/{token}")
    expect(page.get_by_text("This page is kept on this telephone")).to_be_visible()
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_text("No connection.")).to_be_visible()
    expect(page.locator(".verdict .sign b:visible").first).to_have_text("NO-GO")
    revoke_link(shared.store, link.number, "Mo", shared.now)
    page.context.set_offline(False)  # it asks anew by itself
    gone = page.get_by_role("heading", level=1)
    expect(gone).to_have_text("This link opens nothing.", timeout=15_000)
    assert days_kept(page) == 0
    assert [line for line in said if "elsewhere" in line] == []
