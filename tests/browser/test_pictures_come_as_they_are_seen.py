"""Pictures in the window are drawn with the page; those below it when the browser has time."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

IDLE_BY_HAND = """
window.whenIdle = [];
window.requestIdleCallback = (work) => window.whenIdle.push(work);
"""
"""A browser that has no time until the test gives it some."""
GIVE_TIME = "() => window.whenIdle.splice(0).forEach((work) => work())"
DRAWN = """() => [...document.querySelectorAll('#page .dash-graph')].map((graph) => [
  graph.getBoundingClientRect().top < window.innerHeight,
  graph.querySelector('.main-svg') !== null,
])"""


def busy(page: Page, address: str, width: int) -> None:
    page.add_init_script(IDLE_BY_HAND)
    page.set_viewport_size({"width": width, "height": 500})
    page.goto(address)
    expect(page.locator("#page h1")).to_have_text("Where do the hours go?")
    expect(page.locator("#page .dash-graph .main-svg").first).to_be_attached()


def test_pictures_below_the_window_are_drawn_later_and_one_at_a_time(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str]
) -> None:
    page, said = open_page("about:blank", 1280)
    busy(page, f"{addresses['full']}/hours", 1280)
    drawn: list[list[Any]] = page.evaluate(DRAWN)
    seen, missing = sum(one[0] for one in drawn), sum(not one[1] for one in drawn)
    assert [one[1] for one in drawn] == [one[0] for one in drawn]
    assert seen
    assert missing >= 2
    for left in range(missing - 1, -1, -1):
        page.evaluate(GIVE_TIME)
        page.wait_for_function(
            f"() => [...document.querySelectorAll('#page .dash-graph')]"
            f".filter((graph) => !graph.querySelector('.main-svg')).length === {left}"
        )
    assert page.evaluate("window.whenIdle.length") == 0
    assert said == []


def test_a_picture_that_came_into_the_window_is_drawn_before_those_above_it(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str]
) -> None:
    page, _ = open_page("about:blank", 1280)
    busy(page, f"{addresses['full']}/hours", 390)  # one below another
    last = page.locator("#page .dash-graph").last
    last.evaluate("(graph) => graph.scrollIntoView({ block: 'start' })")
    assert not last.locator(".main-svg").count()
    page.evaluate(GIVE_TIME)
    expect(last.locator(".main-svg").first).to_be_attached()
    assert not all(drawn for _, drawn in page.evaluate(DRAWN))


def test_leaving_a_page_whose_pictures_wait_leaves_nothing_behind(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str]
) -> None:
    page, said = open_page("about:blank", 1280)
    busy(page, f"{addresses['full']}/hours", 1280)
    page.get_by_role("link", name="This week").click()
    expect(page.locator("#page h1")).to_have_text("What could break this week?")
    for _ in range(5):
        page.evaluate(GIVE_TIME)
    page.get_by_role("link", name="The hours").click()
    expect(page.locator("#page h1")).to_have_text("Where do the hours go?")
    expect(page.locator("#page .dash-graph .main-svg").first).to_be_attached()
    for _ in range(5):
        page.evaluate(GIVE_TIME)
    for picture in page.locator("#page .dash-graph").all():
        expect(picture.locator(".main-svg").first).to_be_attached()
    assert said == []


def test_the_pictures_script_is_there_before_somebody_asks_for_a_page_with_pictures(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str]
) -> None:
    page, said = open_page("about:blank", 1280)
    page.add_init_script(IDLE_BY_HAND)
    scripts: list[str] = []
    page.on("request", lambda asked: scripts.append(asked.url) if "plotly" in asked.url else None)
    page.goto(addresses["full"])
    expect(page.locator("#page h1")).to_have_text("What could break this week?")
    page.wait_for_function("window.whenIdle.length")
    assert scripts == []  # not while the first page is on its way
    page.evaluate(GIVE_TIME)
    expect(page.locator("#ahead .main-svg").first).to_be_attached()
    before = len(scripts)
    page.get_by_role("link", name="The hours").click()
    expect(page.locator("#page .dash-graph .main-svg").first).to_be_attached()
    assert (before, len(scripts)) == (1, 1)
    assert page.locator("#ahead").evaluate("(place) => place.getBoundingClientRect().width") == 0
    assert said == []


def test_a_page_with_pictures_of_its_own_draws_none_ahead(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str]
) -> None:
    page, _ = open_page("about:blank", 1280)
    busy(page, f"{addresses['full']}/hours", 1280)
    page.evaluate(GIVE_TIME)
    assert page.locator("#ahead .dash-graph").count() == 0


NAMES = """() => [...document.querySelectorAll('#page .dash-graph')].map((graph) => {
  const left = (element) => element.getBoundingClientRect().left;
  const shown = graph.querySelector('.js-plotly-plot')._fullLayout;
  return { kind: shown.yaxis.type, drawn_again: shown.yaxis.automargin,
    left: Math.min(...[...graph.querySelectorAll('.ytick text')].map(left)) - left(graph) };
}).filter((one) => one.kind === 'category')"""


@pytest.mark.parametrize("width", [390, 1280])
def test_names_beside_a_picture_have_the_room_that_they_take_and_no_more(
    open_page: Callable[..., tuple[Page, list[str]]], addresses: dict[str, str], width: int
) -> None:
    page, _ = open_page(f"{addresses['full']}/hours", width)
    expect(page.locator("#page .dash-graph:has(.main-svg)")).not_to_have_count(0)
    expect(page.locator("#page .dash-graph:not(:has(.main-svg))")).to_have_count(0)
    found = page.evaluate(NAMES)
    assert len(found) == 3
    for one in found:
        assert not one["drawn_again"]
        assert 4 < one["left"] < 14, one
