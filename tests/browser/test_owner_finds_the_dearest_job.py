"""The owner's whole task from a fresh start: which job lost most, and why.

What the page must say is added up here from the tables themselves, line by line.
"""

import csv
from collections import Counter, defaultdict
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect
from running_board import NOW, running_board
from test_board_in_a_browser import serious

from crewplan.running.demo import demo_folder

pytestmark = pytest.mark.browser


def lost_by_job() -> dict[str, Counter[str]]:
    """By job and cause, in the branch's money: each lost hour at its person's cost."""

    def rows(table: str) -> list[dict[str, str]]:
        with (demo_folder() / f"{table}.csv").open(encoding="utf-8", newline="") as file:
            return list(csv.DictReader(file))

    cost_per_h = {row["person"]: float(row["cost_per_h"]) for row in rows("people")}
    job_of = {row["stage"]: row["job"] for row in rows("stages")}
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for row in rows("hours_worked"):
        if row["cause"]:
            cost = float(row["hours"]) * cost_per_h[row["person"]]
            found[job_of[row["stage"]]][row["cause"].replace("_", " ")] += cost
    return dict(found)


def test_the_owner_finds_the_job_that_lost_most_and_why(
    open_page: Callable[..., tuple[Page, list[str]]],
) -> None:
    lost = lost_by_job()
    order = sorted(lost, key=lambda job: -lost[job].total())
    dearest = order[0]
    [(cause, of_it)] = lost[dearest].most_common(1)
    assert of_it < lost[dearest].total()  # several causes, so that there is something to tell

    with running_board("board", demo_folder(), "--now", NOW, "--seconds", "1") as address:
        page, said = open_page(address, 1280)
        expect(page.locator("#page h1")).to_have_text("What could break this week?")
        page.get_by_role("link", name="The hours").click()
        expect(page.locator("#page h1")).to_have_text("Where do the hours go?")
        words = f"Most was lost on {dearest} ({lost[dearest].total():.0f} USD, most of it {cause})"
        expect(page.get_by_text(words)).to_be_visible()

        table = page.get_by_role("region", name="Plan, actual and margin job by job")
        expect(table.locator("tbody th")).to_have_text(order)
        first = table.get_by_role("row").filter(has=page.get_by_role("rowheader", name=dearest))
        expect(first.locator("[data-label='Lost']")).to_have_text(f"{lost[dearest].total():.0f}")
        expect(first.locator("[data-label='Most of it']")).to_have_text(cause)

        page.get_by_text("The same in numbers").click()
        weeks = page.get_by_role("region", name="Person-hours lost by cause over time")
        expect(weeks.get_by_role("columnheader", name=cause.capitalize())).to_be_visible()
        assert (serious(page), said) == ([], [])
