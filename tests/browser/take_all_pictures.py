"""Picture every page in each state, width and colour scheme, to be looked at by a person.

`PYTHONPATH=tests python tests/browser/take_all_pictures.py OUT`: boards of the tests' three sets of
data, the demo, and the demo in a database, where people write things down. OUT gets a picture each
and `index.html`, which shows them side by side.
"""

import re
import sys
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from html import escape
from itertools import product
from pathlib import Path

from board_server import served
from board_views import empty_view, full_view, one_job_view
from playwright.sync_api import Browser, Page, sync_playwright
from running_board import board_on_a_database, running_board

from crewplan.running.board_view import BoardView

CHROMIUM = "/usr/bin/chromium"
WIDTHS_PX = (390, 1280, 2560)
SCHEMES = ("light", "dark")
SETTLING_MS = 1500
A_DAY_MS = 26 * 3_600_000

READ_PATHS = ("/", "/tomorrow", "/hours", "/waiting", "/small/tomorrow", "/small/tomorrow?lang=es")
WRITTEN_PATHS = ("/bring", "/enter")


@dataclass(frozen=True)
class State:
    """How a page is opened: with script or not, and what happens to it then."""

    name: str
    of: tuple[str, ...]
    """Sets of data that it is pictured with."""
    script: bool = True
    later_ms: int = 0
    lost: bool = False


STATES = (
    State("fresh", ("empty", "one job", "full", "demo", "database")),
    # the other sets' clocks are set by hand and do not run, so that nothing ages there
    State("aged", ("by the real clock",), later_ms=A_DAY_MS),
    State("connection lost", ("full", "demo"), lost=True),
    State("without script", ("full", "demo"), script=False),
)


def _by_the_real_clock() -> BoardView:
    """Void an hour from now."""
    later = datetime.now(UTC) + timedelta(hours=1)
    view = full_view(clock="now", chances_void_after=later)
    verdicts = tuple(replace(one, void_after=later) for one in view.verdicts)
    return replace(view, verdicts=verdicts)


def pictured(browser: Browser, address: str, state: State, width: int, scheme: str) -> bytes:
    """One picture of a whole page."""
    context = browser.new_context(
        viewport={"width": width, "height": 900},
        color_scheme="dark" if scheme == "dark" else "light",
        java_script_enabled=state.script,
    )
    try:
        page = context.new_page()
        if state.later_ms:
            page.clock.install()
        page.goto(address)
        page.wait_for_timeout(SETTLING_MS)
        _then(page, state)
        return page.screenshot(full_page=True)
    finally:
        context.close()


def _then(page: Page, state: State) -> None:
    if state.later_ms:
        page.clock.fast_forward(state.later_ms)
    if state.lost:
        page.context.set_offline(True)  # of which the page hears at once
        page.wait_for_timeout(SETTLING_MS)


def addresses(boards: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Data set, path, address."""
    for data, board in boards.items():
        paths = READ_PATHS + (WRITTEN_PATHS if data == "database" else ())
        for path in paths:
            yield data, path, board.rstrip("/") + path


def take(out: Path, boards: Mapping[str, str]) -> list[str]:
    """Write all pictures of these boards; their file names in order."""
    names = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--headless", "--no-sandbox", "--disable-gpu"]
        )
        for (data, path, address), state in product(addresses(boards), STATES):
            if data not in state.of:
                continue
            for width, scheme in product(WIDTHS_PX, SCHEMES):
                words = (
                    data,
                    re.sub(r"\W+", "-", path.strip("/")) or "week",
                    state.name,
                    width,
                    scheme,
                )
                name = "_".join(str(word).replace(" ", "-") for word in words) + ".png"
                (out / name).write_bytes(pictured(browser, address, state, width, scheme))
                names.append(name)
        browser.close()
    return names


def main() -> None:
    """Start all boards, take all pictures."""
    out = Path(sys.argv[1])
    out.mkdir(parents=True, exist_ok=True)
    views = {
        "empty": empty_view,
        "one job": one_job_view,
        "full": full_view,
        "by the real clock": _by_the_real_clock,
    }
    boards = {name: served(view()) for name, view in views.items()}
    with (
        tempfile.TemporaryDirectory() as folder,
        running_board("demo") as demo,
        board_on_a_database(Path(folder)) as database,
    ):
        names = take(out, boards | {"demo": demo, "database": database})
    shown = "".join(
        f'<figure><a href="{name}"><img src="{name}" width="320" loading="lazy" alt=""></a>'
        f"<figcaption>{escape(name[:-4])}</figcaption></figure>"
        for name in names
    )
    style = "body{display:flex;flex-wrap:wrap}figure{margin:8px}"
    (out / "index.html").write_text(f"<style>{style}</style>{shown}", "utf-8")
    print(f"{len(names)} pictures in {out}; open index.html")


if __name__ == "__main__":
    main()
