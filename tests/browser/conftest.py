"""The system's Chromium, and boards of three data sets to point it at."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from board_server import served
from board_views import empty_view, full_view, one_job_view
from playwright.sync_api import Browser, Page, expect, sync_playwright

from crewplan.running.board_view import BoardView

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
LONGEST_WAIT_MS = 20_000
"""For what a page shows at last: two workers, boards and their solvers share two cores."""
VIEWS: dict[str, Callable[[], BoardView]] = {
    "empty": empty_view,
    "one job": one_job_view,
    "full": full_view,
}


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all tests; without it they are left out, unless CREWPLAN_BROWSER is 1."""
    if not CHROMIUM.exists() and os.environ.get("CREWPLAN_BROWSER") != "1":
        pytest.skip("no Chromium on this machine; CREWPLAN_BROWSER=1 makes that a failure")
    expect.set_options(timeout=LONGEST_WAIT_MS)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def addresses() -> dict[str, str]:
    """The address of each data set's board."""
    return {name: served(build()) for name, build in VIEWS.items()}


@pytest.fixture
def stoppable() -> Iterator[subprocess.Popen[str]]:
    """A board in a process of its own, not yet asked for its port."""
    script = Path(__file__).with_name("stoppable_board.py")
    process = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True)
    yield process
    process.terminate()
    process.wait(10)
    if process.stdout is not None:
        process.stdout.close()


@pytest.fixture
def open_page(chromium: Browser) -> Iterator[Callable[..., tuple[Page, list[str]]]]:
    """Opens an address at a width; the page, and what its console said."""
    contexts: list[Any] = []

    def opened(address: str, width: int = 390, **options: Any) -> tuple[Page, list[str]]:
        context = chromium.new_context(viewport={"width": width, "height": 850}, **options)
        contexts.append(context)
        page = context.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: said.append(f"error: {error}"))
        page.on(
            "request",
            lambda request: (
                None
                if request.url.startswith(("http://127.0.0.1:", "data:", "blob:"))
                else said.append(f"asked elsewhere: {request.url}")
            ),
        )
        page.goto(address)
        if options.get("java_script_enabled", True):
            expect(page.locator("#first-paint")).to_have_count(0)  # the living page is there
        return page, said

    yield opened
    for context in contexts:
        context.close()
