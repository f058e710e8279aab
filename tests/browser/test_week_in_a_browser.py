"""A manager's week from a fresh start: published, broken by a refused permit, published again."""

import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from running_board import board_on_a_database
from test_forms_in_a_browser import sound

pytestmark = pytest.mark.browser
LONGEST_S = 180


@pytest.fixture
def board(tmp_path: Path) -> Iterator[str]:
    """The address of a board that follows a database of the invented company."""
    with board_on_a_database(tmp_path) as address:
        yield address


def wait_for_a_newer_look(page: Page, address: str, done: Callable[[], bool]) -> None:
    until = time.monotonic() + LONGEST_S
    while True:
        page.goto(f"{address}enter/publish")
        if done():
            return
        assert time.monotonic() < until, "no newer look came"
        page.wait_for_timeout(1000)


def test_a_manager_publishes_a_week_sees_it_broken_and_publishes_again(
    board: str, open_page: Callable[..., tuple[Page, list[str]]]
) -> None:
    page, said = open_page(board, 1280)
    expect(page.locator("#page h1")).to_have_text("What could break this week?")
    page.locator("#page").get_by_role("link", name="Look for a better week").click()
    sound(page, said, "How long may it look?")
    page.get_by_role("button", name="Look for a better week").click()
    standing = page.locator("#standing")
    expect(standing).to_contain_text(re.compile("Looking since|No better week|Found:"))
    sound(page, said)
    # it may have proven the best week meanwhile, and then there is nothing to end
    page.evaluate("document.querySelector('button[value=enough]')?.click()")
    ended = re.compile("No better week was found|Found: the week on the board is the better one")
    expect(standing).to_contain_text(ended, timeout=LONGEST_S * 1000)
    page.goto(board)
    page.locator("#page").get_by_role("link", name="Move a stage").click()
    page.get_by_label("Stage").select_option("J32-roof")
    page.get_by_label("Day").select_option(index=6)
    sound(page, said, "What would that cost?")
    page.get_by_role("button", name="What would that cost?").click()
    leave = page.get_by_role("button", name="Leave all as it is")
    expect(leave).to_be_visible(timeout=LONGEST_S * 1000)
    sound(page, said, "What it changes against the published plan")
    leave.click()
    page.goto(board)
    page.locator("#page").get_by_role("link", name="Publish this week").click()
    sound(page, said, "What changes against the published plan")
    page.get_by_role("button", name="Publish").click()
    expect(page.get_by_role("status").first).to_have_text("Published: it is plan 2 now.")
    nothing = page.get_by_text("there is nothing to publish")
    wait_for_a_newer_look(page, board, lambda: nothing.count() == 1)
    assert page.get_by_role("button", name="Publish").count() == 0

    page.goto(f"{board}enter/state?job=J32&kind=permit")
    page.get_by_label("It is").select_option("refused")
    page.get_by_label("Granted on").fill("")
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("status").first).to_contain_text("Kept")
    row = page.get_by_role("row").filter(has_text="Roof work J32-roof")
    wait_for_a_newer_look(page, board, lambda: row.count() == 1)
    expect(row).to_contain_text("left out")
    expect(row).to_contain_text("the customer")
    told = page.get_by_role("listitem").filter(has_text="J32-roof: no day for now")
    expect(told.get_by_role("link")).to_have_attribute("href", "tel:555-0161")
    sound(page, said, "Who must be told")
    page.get_by_role("button", name="Publish").click()
    expect(page.get_by_role("status").first).to_have_text("Published: it is plan 3 now.")
    page.get_by_role("button", name="Put plan 2 back").click()
    expect(page.get_by_role("status").first).to_have_text("Put back: it is plan 4 now.")
