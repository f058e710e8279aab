"""Each page, in each state of the data, as a person's browser shows it."""

import subprocess
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import product
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from board_server import served
from board_views import one_job_view
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser

PAGES = {
    "/": "What could break this week?",
    "/tomorrow": "Can we lift tomorrow?",
    "/waiting": "What do we wait for, and whom do we call?",
    "/hours": "Where do the hours go?",
}
Opener = Callable[..., tuple[Page, list[str]]]


def serious(page: Page) -> list[str]:
    """Serious and critical findings of axe, in words."""
    found = Axe().run(page).response["violations"]
    return [
        f"{one['id']}: {one['nodes'][0]['html'][:120]}"
        for one in found
        if one["impact"] in ("serious", "critical")
    ]


def settled(page: Page, question: str) -> None:
    """Waits for the living page and for its pictures."""
    expect(page.locator("#page h1")).to_have_text(question)
    for picture in page.locator("#page .js-plotly-plot, #page .dash-graph").all():
        expect(picture.locator(".main-svg").first).to_be_visible()


def test_the_plain_and_the_living_page_never_stand_side_by_side(
    chromium: Browser, addresses: dict[str, str]
) -> None:
    page = chromium.new_context().new_page()
    page.add_init_script(
        """const timer = window.setTimeout;  // late, as on a busy machine
        window.setTimeout = (work, ms, ...given) => timer(work, (ms || 0) + 500, ...given);"""
    )
    questions = page.locator("nav a, nav [aria-current='page']")
    for path in PAGES:
        page.goto(addresses["full"] + path, wait_until="domcontentloaded")
        once = questions.count()
        while page.locator("#first-paint").count():  # between any two turns
            assert questions.count() == once, path
        assert questions.count() == once, path
    page.context.close()


@pytest.mark.parametrize("data", ["empty", "one job", "full"])
@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_quiet_accessible_and_as_wide_as_the_screen(
    open_page: Opener, addresses: dict[str, str], path: str, data: str
) -> None:
    page, said = open_page(addresses[data] + path)
    for width, scheme in product((390, 1280), ("light", "dark")):
        page.emulate_media(color_scheme=scheme)
        page.set_viewport_size({"width": width, "height": 850})
        settled(page, PAGES[path])
        too_wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
        assert (said, serious(page), max(too_wide, 0)) == ([], [], 0), f"{width} px, {scheme}"


@pytest.mark.parametrize(
    ("crew", "word"), [("Alder", "GO"), ("Birch", "NO-GO"), ("Cedar", "UNKNOWN")]
)
def test_a_link_to_a_crew_shows_the_word_for_its_lift_first(
    open_page: Opener, addresses: dict[str, str], crew: str, word: str
) -> None:
    page, _ = open_page(f"{addresses['full']}/tomorrow?crew={crew}")
    settled(page, PAGES["/tomorrow"])
    first = page.locator("#page .verdict").first
    expect(first.locator(".exposure")).to_have_text("Lifting modules")
    expect(first.locator("b:visible")).to_have_text(word)
    expect(first.locator("img.shape:visible")).to_have_count(1)


def test_choosing_another_crew_shows_its_sheet_and_keeps_the_link(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, said = open_page(f"{addresses['full']}/tomorrow")
    settled(page, PAGES["/tomorrow"])
    page.locator("#page select").select_option("Birch")
    expect(page.locator("#page h2").first).to_contain_text("Birch: roof work S2")
    expect(page.locator("#page select")).to_be_focused()
    assert page.url.endswith("/tomorrow?crew=Birch")
    page.go_back()
    expect(page.locator("#page h2").first).to_contain_text("Alder: roof work S1")
    expect(page.locator("#page select")).to_have_value("Alder")
    assert said == []


def test_the_questions_lead_to_each_other_without_a_new_document(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, said = open_page(addresses["full"])
    settled(page, PAGES["/"])
    page.evaluate("window.sameDocument = true")
    page.get_by_role("link", name="The hours").click()
    settled(page, PAGES["/hours"])
    expect(page.locator("#page h1")).to_be_focused()
    expect(page).to_have_title("Where do the hours go? Test")
    page.get_by_role("link", name="This week").click()
    settled(page, PAGES["/"])
    assert page.evaluate("window.sameDocument")
    assert said == []


def test_the_owner_sorts_by_a_column_and_keeps_rows(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, _ = open_page(f"{addresses['full']}/hours", 1280)
    settled(page, PAGES["/hours"])
    page.get_by_role("button", name="Lost so far").click()
    lost = [
        float(text) for text in page.locator(".sortable tbody td:nth-child(5)").all_inner_texts()
    ]
    assert lost == sorted(lost, reverse=True)
    page.get_by_role("searchbox").fill("Household 46")
    expect(page.locator(".sortable tbody tr:visible")).to_have_count(1)


def test_the_office_sorts_calls_by_the_day_and_keeps_those_about_one_job(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, said = open_page(f"{addresses['full']}/waiting", 1280)
    settled(page, PAGES["/waiting"])
    calls = page.locator("section", has=page.locator("table.calls"))
    calls.get_by_role("button", name="Wanted on").click()
    days = calls.locator("tbody td:nth-child(4)")
    keys = [cell.get_attribute("data-sort") for cell in days.all()]
    assert len(set(keys)) > 1
    assert keys == sorted(keys, reverse=True)
    calls.get_by_role("searchbox").fill("permit of J45?")
    expect(calls.locator("tbody tr:visible")).to_have_count(1)
    assert said == []


def test_a_manager_sorts_what_is_left_out_by_its_price_and_keeps_one_stage(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, said = open_page(addresses["full"], 1280)
    settled(page, PAGES["/"])
    left_out = page.locator("section", has=page.locator("table.left-out"))
    cells = left_out.locator("tbody td:nth-child(5)")
    before = [int(cell.get_attribute("data-sort") or "") for cell in cells.all()]
    left_out.get_by_role("button", name="Price of leaving it").click()
    after = [int(cell.get_attribute("data-sort") or "") for cell in cells.all()]
    assert len(set(before)) > 1
    assert after == sorted(before, reverse=True)
    left_out.get_by_role("searchbox").fill(left_out.locator("tbody th").last.inner_text())
    expect(left_out.locator("tbody tr:visible")).to_have_count(1)
    assert said == []


def words_of_the_lift(page: Page) -> Any:
    return page.locator("#page .verdict").first.locator("b:visible")


def test_a_go_turns_to_unknown_by_itself_when_its_time_has_passed(
    open_page: Opener, chromium: Any
) -> None:
    later = datetime.now(UTC) + timedelta(hours=1)
    view = one_job_view(void_after=later, clock="now", chances_void_after=later)
    address = served(view)
    page, _ = open_page("about:blank")
    page.clock.install()
    page.goto(f"{address}/tomorrow")
    settled(page, PAGES["/tomorrow"])
    expect(words_of_the_lift(page)).to_have_text("GO")
    page.clock.fast_forward("01:30:00")
    expect(words_of_the_lift(page)).to_have_text("UNKNOWN")
    expect(page.locator("#page .hour-word span:visible").first).to_have_text("unknown")
    expect(page.locator("#page .windows").first).to_be_hidden()
    expect(page.locator("#page .picture").first).to_be_hidden()


def test_a_clock_set_by_hand_does_not_age_and_says_that_it_is_not_for_work(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    page, _ = open_page(f"{addresses['one job']}/tomorrow")
    settled(page, PAGES["/tomorrow"])
    expect(words_of_the_lift(page)).to_have_text("GO")
    expect(page.get_by_text("Clock set by hand: not for work").first).to_be_visible()


def test_everything_turns_to_unknown_when_the_server_stops(
    open_page: Opener, stoppable: "subprocess.Popen[str]"
) -> None:
    assert stoppable.stdout is not None
    address = f"http://127.0.0.1:{stoppable.stdout.readline().strip()}"
    page, _ = open_page(f"{address}/tomorrow")
    settled(page, PAGES["/tomorrow"])
    expect(words_of_the_lift(page)).to_have_text("GO")
    stoppable.terminate()
    expect(words_of_the_lift(page)).to_have_text("UNKNOWN", timeout=15_000)
    expect(page.get_by_role("alert")).to_be_visible()


@pytest.mark.parametrize("path", ["/tomorrow", "/small/tomorrow"])
def test_the_crews_page_can_be_read_without_script(
    open_page: Opener, addresses: dict[str, str], path: str
) -> None:
    page, _ = open_page(f"{addresses['full']}{path}?crew=Birch", java_script_enabled=False)
    expect(page.locator(".verdict b:visible").first).to_have_text("NO-GO")
    page.locator("select").select_option("Alder")
    page.get_by_role("button", name="Show").click()
    expect(page.locator(".verdict b:visible").first).to_have_text("GO")


@pytest.mark.parametrize("path", ["/", "/waiting", "/hours"])
def test_what_takes_a_script_is_offered_only_where_there_is_one(
    open_page: Opener, addresses: dict[str, str], path: str
) -> None:
    offers = ("Keep rows with", "Choose a column's name to sort by it.")
    for script in (True, False):
        page, _ = open_page(addresses["full"] + path, java_script_enabled=script)
        for words in offers:
            expect(page.get_by_text(words).first).to_be_visible(visible=script)


def test_the_small_page_is_under_150_kb_with_all_it_asks_for(
    open_page: Opener, addresses: dict[str, str]
) -> None:
    sizes: list[int] = []
    page, said = open_page("about:blank")
    page.on("response", lambda answer: sizes.append(len(answer.body())))
    page.goto(f"{addresses['full']}/small/tomorrow?crew=Alder", wait_until="networkidle")
    assert sum(sizes) < 150_000  # the target in the project's design
    assert (said, serious(page)) == ([], [])
