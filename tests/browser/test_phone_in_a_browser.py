"""The crew's day on a telephone with and without a network, and on paper."""

import subprocess
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from board_server import served
from board_views import one_job_view
from playwright.sync_api import Page, expect
from running_board import NOW, running_board

from crewplan.running.demo import demo_folder

pytestmark = pytest.mark.browser
Opener = Callable[..., tuple[Page, list[str]]]
SMALL = "/small/tomorrow?crew=Alder"


def fresh(hours: float = 1) -> tuple[str, datetime]:
    """A board by the real clock, whose go is void so many hours from now."""
    later = datetime.now(UTC) + timedelta(hours=hours)
    return served(one_job_view(void_after=later, clock="now", chances_void_after=later)), later


def word(page: Page) -> Any:
    return page.locator(".verdict").first.locator(".sign b:visible")


def kept(page: Page) -> None:
    expect(page.get_by_text("This page is kept on this telephone")).to_be_visible()


def test_without_a_network_the_kept_page_stays_until_its_time_and_then_says_unknown(
    open_page: Opener,
) -> None:
    address, _ = fresh()
    page, _ = open_page("about:blank")
    page.clock.install()
    page.goto(address + SMALL)
    expect(word(page)).to_have_text("GO")
    kept(page)
    page.context.set_offline(True)
    page.reload()
    expect(word(page)).to_have_text("GO")
    expect(page.get_by_text("No connection. This page was made")).to_be_visible()
    expect(page.get_by_text("Counts until").first).to_be_visible()
    page.clock.fast_forward("01:30:00")
    expect(word(page)).to_have_text("UNKNOWN")
    expect(page.get_by_text("Wait: this is too old by now")).to_be_visible()
    expect(page.locator(".windows:visible")).to_have_count(0)
    expect(page.locator("svg.gusts:visible")).to_have_count(0)


def test_a_page_reloaded_without_a_network_after_its_time_never_shows_the_go(
    open_page: Opener,
) -> None:
    address, later = fresh()
    page, _ = open_page(address + SMALL)
    kept(page)
    page.context.set_offline(True)
    page.clock.install(time=later + timedelta(minutes=1))
    page.reload()
    expect(word(page)).to_have_text("UNKNOWN")


def test_a_telephone_whose_clock_is_behind_shows_no_go_at_all(open_page: Opener) -> None:
    address, _ = fresh()
    page, _ = open_page(address + SMALL)
    kept(page)
    page.context.set_offline(True)
    page.clock.install(time=datetime.now(UTC) - timedelta(days=1))
    page.reload()
    expect(word(page)).to_have_text("UNKNOWN")
    expect(page.get_by_text("This telephone's clock is behind")).to_be_visible()


def test_the_page_is_kept_though_the_server_is_gone(
    open_page: Opener, stoppable: "subprocess.Popen[str]"
) -> None:
    assert stoppable.stdout is not None
    address = f"http://127.0.0.1:{stoppable.stdout.readline().strip()}/small/tomorrow"
    page, _ = open_page(address)
    kept(page)
    stoppable.terminate()
    stoppable.wait(10)
    page.reload()
    expect(word(page)).to_have_text("GO")
    expect(page.get_by_text("No connection. This page was made")).to_be_visible()


def test_without_script_it_says_until_when_it_counts(open_page: Opener) -> None:
    address, _ = fresh()
    page, _ = open_page(address + SMALL, java_script_enabled=False)
    expect(word(page)).to_have_text("GO")
    expect(page.get_by_text("Counts until").first).to_be_visible()


def serious(page: Page) -> list[str]:
    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


@pytest.mark.parametrize("language", ["en", "es"])
def test_it_is_quiet_accessible_and_as_wide_as_the_screen(
    open_page: Opener, addresses: dict[str, str], language: str
) -> None:
    page, said = open_page("about:blank")
    sizes: list[int] = []
    page.on("response", lambda answer: sizes.append(len(answer.body())))
    page.goto(f"{addresses['full']}/small/tomorrow?crew=Birch&lang={language}")
    page.wait_for_load_state("networkidle")
    assert sum(sizes) < 150_000  # the target in the project's design
    for width in (390, 1280):
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            page.set_viewport_size({"width": width, "height": 850})
            too_wide = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
            assert (said, serious(page), max(too_wide, 0)) == ([], [], 0), f"{width} px, {scheme}"


def test_the_roof_s_drawing_can_be_read_by_day_and_by_night(open_page: Opener) -> None:
    with running_board("board", demo_folder(), "--now", NOW, "--seconds", "1") as address:
        page, _ = open_page(f"{address.rstrip('/')}{SMALL}")
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            expect(page.locator("figure.roof figcaption").first).to_be_visible()
            assert serious(page) == [], scheme


def test_it_prints_on_two_pages_at_most(open_page: Opener, addresses: dict[str, str]) -> None:
    import pypdfium2

    page, _ = open_page(f"{addresses['full']}/small/tomorrow?crew=Alder")
    printed = pypdfium2.PdfDocument(page.pdf(format="Letter"))
    assert len(printed) <= 2
    text = "".join(one.get_textpage().get_text_range() for one in printed)
    assert "Lifting modules" in text
    assert "Show" not in text
