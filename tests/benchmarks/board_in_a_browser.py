"""How soon the board answers in a browser: 40 crews, 240 stages, while a solve runs.

    python tests/benchmarks/board_in_a_browser.py [--rounds N]

The board runs in a process of its own on a database, as `crewplan board` starts it. Before each
round an entry is made that changes the plan, so that the board's own solve runs beside the
browser, on the same cores. Each click is timed inside the page, from the click to the frame that
shows what was asked for, and in it all pictures that are in the window; a document, from its
address to its first words and to the living page. The first visit has nothing kept by the browser;
later ones have all scripts, as a person's have. A second passes between clicks: the pictures'
script (4.7 MB) comes in the first one, so that its bytes are in no line. Prints a table; the exit
code tells whether an aim was missed on a later visit.
"""

import argparse
import os
import statistics
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))

from board_under_load import publish
from grown_demo import grown
from playwright.sync_api import CDPSession, Page, sync_playwright
from running_board import NOW, running_board

from crewplan.store.connecting import Store, open_store
from crewplan.store.entering import edit
from crewplan.store.following import newest_number
from crewplan.store.importing import accept, look_at
from crewplan.store.place import place_of

CHROMIUM = "/usr/bin/chromium"
FIRST_PAGE_S = 1.5
CLICK_S = 0.3
PAUSE_MS = 1000
TIMED_CLICK = """async ([press, until]) => {
  const element = document.querySelector(press);
  const begun = performance.now();
  element.click();
  return await new Promise((done) => {
    (function look() {
      const words = document.querySelector("#page h1").textContent;
      const there = until.endsWith("?") ? words === until : document.querySelector(until);
      const blank = [...document.querySelectorAll("#page .picture .dash-graph")].some((graph) => {
        const box = graph.getBoundingClientRect();
        const seen = box.bottom > 0 && box.top < window.innerHeight;
        return seen && !graph.querySelector(".main-svg");
      });
      if (there && !blank) {
        requestAnimationFrame(() => setTimeout(() => done((performance.now() - begun) / 1000)));
      } else if (performance.now() - begun > 30000) { done(null); }
      else { requestAnimationFrame(look); }
    })();
  });
}"""
TIMED_CHOICE = TIMED_CLICK.replace(
    "element.click();",
    "element.value = element.options[element.selectedIndex + 1].value;"
    " element.dispatchEvent(new Event('change', { bubbles: true }));",
)
LIVING = "() => !document.getElementById('first-paint') && document.querySelector('#board h1')"

CLICKS = (
    ("week: to tomorrow", "nav a[href='/tomorrow']", "Can we lift tomorrow?"),
    ("tomorrow: to the hours", "nav a[href='/hours']", "Where do the hours go?"),
    ("hours: sort a column", ".sortable thead th:nth-child(5) button", "th[aria-sort]"),
    ("hours: to the week", "nav a[href='/']", "What could break this week?"),
    ("week: open a crew's days", "#page details:not([open]) summary", "#page details[open]"),
)
"""Words, what is pressed, and the heading or the selector that then stands there; in this order."""
DOCUMENTS = ("/enter", "/enter/pins", "/enter/publish", "/small/tomorrow")


@dataclass
class Seen:
    """Seconds and bytes by what was done."""

    seconds: dict[str, list[float]] = field(default_factory=dict)
    """The first visit first."""
    bytes_sent: dict[str, list[int]] = field(default_factory=dict)
    aims: dict[str, float] = field(default_factory=dict)

    def took(self, what: str, seconds: float | None, aim_s: float, sent: int) -> None:
        if seconds is None:
            raise SystemExit(f"{what}: never came")
        self.seconds.setdefault(what, []).append(seconds)
        self.bytes_sent.setdefault(what, []).append(sent)
        self.aims[what] = aim_s


class Counted:
    """Bytes that a page got over the wire since it was last asked."""

    def __init__(self, session: CDPSession) -> None:
        self._bytes = 0
        session.send("Network.enable")
        session.on("Network.loadingFinished", self._add)

    def _add(self, event: dict[str, float]) -> None:
        self._bytes += int(event["encodedDataLength"])

    def since(self) -> int:
        """And begin again."""
        found, self._bytes = self._bytes, 0
        return found


@contextmanager
def board() -> Iterator[tuple[Store, str]]:
    """A database of 40 crews with a published week, and its board's address."""
    with tempfile.TemporaryDirectory() as folder:
        store = open_store(place_of(folder), create=True)
        with store.write() as connection:
            accept(connection, look_at(connection, grown(40, 240)), "bench", datetime.now(UTC))
        publish(folder)
        with running_board("board", folder, "--now", NOW, "--seconds", "20") as address:
            yield store, address.rstrip("/")


def solving(store: Store, number: int) -> None:
    """Something that makes the board plan anew: a permit that is granted, one job after another."""
    open_rows = [row for row in grown(40, 240).rows["requirements"] if row.state == "asked"]
    row = open_rows[number % len(open_rows)]
    values = {"state": "granted", "granted_on": "2026-05-01"}
    with store.read() as connection:
        seen = newest_number(connection)
    edit(
        store, "requirements", (row.job, row.kind), values, "bench", datetime.now(UTC),
        expected_version=seen,
    )  # fmt: skip


def one_round(page: Page, address: str, seen: Seen) -> None:
    """Each page and click once."""
    counted = Counted(page.context.new_cdp_session(page))
    page.goto(address + "/", wait_until="commit")
    page.wait_for_function(LIVING)
    living = page.evaluate("performance.now() / 1000")
    words = page.evaluate(
        "performance.getEntriesByName('first-contentful-paint')[0].startTime / 1000"
    )
    sent = counted.since()
    seen.took("first page: its words", words, FIRST_PAGE_S, sent)
    seen.took("first page: usable", living, FIRST_PAGE_S, sent)
    for what, press, until in CLICKS:
        page.wait_for_selector(press)
        page.wait_for_timeout(PAUSE_MS)
        counted.since()
        seconds = page.evaluate(TIMED_CLICK, [press, until])
        seen.took(what, seconds, CLICK_S, counted.since())
        if "to tomorrow" in what:
            choice = ["#page select[name='crew']", "#page .verdict"]
            seconds = page.evaluate(TIMED_CHOICE, choice)
            seen.took("tomorrow: another crew", seconds, CLICK_S, counted.since())
    for path in DOCUMENTS:
        page.goto(address + path)
        seconds = page.evaluate(
            "performance.getEntriesByType('navigation')[0].loadEventStart / 1000"
        )
        seen.took(f"document {path}", seconds, CLICK_S, counted.since())


def table(seen: Seen) -> str:
    """As it stands in DEVELOPERS.md."""
    lines = [
        "| what | first visit, s | later, median, s | slowest, s | aim, s | kB first | kB later |",
        "|---|---|---|---|---|---|---|",
    ]
    for what, (first, *later) in seen.seconds.items():
        sent = seen.bytes_sent[what]
        lines.append(
            f"| {what} | {first:.2f} | {statistics.median(later):.2f} | {max(later):.2f} "
            f"| {seen.aims[what]:g} | {sent[0] / 1000:.0f} "
            f"| {statistics.median(sent[1:]) / 1000:.0f} |"
        )
    return "\n".join(lines)


def main() -> None:
    """Print the table."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--rounds", type=int, default=7)
    asked = words.parse_args()
    seen = Seen()
    with board() as (store, address), sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--headless", "--no-sandbox", "--disable-gpu"]
        )
        context = browser.new_context(viewport={"width": 1280, "height": 900})
        for number in range(asked.rounds):
            solving(store, number)
            page = context.new_page()
            page.wait_for_timeout(1500)  # the board looks for entries once a second
            one_round(page, address, seen)
            page.close()
        browser.close()
    print(f"{table(seen)}\n\n{asked.rounds} visits, load average {os.getloadavg()[0]:.1f}")
    sys.exit(any(statistics.median(took[1:]) > seen.aims[w] for w, took in seen.seconds.items()))


if __name__ == "__main__":
    main()
