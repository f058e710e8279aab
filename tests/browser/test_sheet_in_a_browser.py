"""The crew's sheet as a file in the system's Chromium: on a phone, on a screen, and printed."""

import io
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from sheet_cases import UNPLACED, facts_of, no_forecast, sheet

from crewplan.publishing.crew_sheet.as_html import sheet_html

pytestmark = pytest.mark.browser
MM = 72 / 25.4
SHEETS = {
    "a roof": lambda: facts_of(),
    "no place": lambda: facts_of(UNPLACED),
    "no forecast": lambda: no_forecast(facts_of()),
}
CUT = """() => [...document.querySelectorAll('td, th, dd, dt, li, p, h1, h2, h3')]
  .filter(one => one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display != 'inline')
  .map(one => one.innerText)"""


def opened(chromium: Browser, folder: Path, which: str, width: int) -> tuple[Page, list[str]]:
    file = folder / "sheet.html"
    file.write_text(sheet_html(sheet(SHEETS[which]())), encoding="utf-8")
    page = chromium.new_context(viewport={"width": width, "height": 850}).new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda asked: said.append(asked.url) if "sheet.html" not in asked.url else 0)
    page.goto(file.as_uri())
    return page, said


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("which", SHEETS)
def test_the_page_is_no_wider_than_the_screen_and_cuts_no_words(chromium, tmp_path, which, width):
    page, said = opened(chromium, tmp_path, which, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(CUT) == []
    assert said == []
    page.context.close()


def test_the_page_has_nothing_that_a_reader_of_screens_cannot_use(chromium, tmp_path):
    page, _ = opened(chromium, tmp_path, "a roof", 390)
    found = Axe().run(page).response["violations"]
    assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == []
    page.context.close()


def test_a_box_can_be_ticked_without_any_script(chromium, tmp_path):
    page, _ = opened(chromium, tmp_path, "a roof", 390)
    box = page.get_by_label("mid clamp", exact=True)
    box.check()
    assert box.is_checked()
    page.context.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_printed_from_the_browser_the_drawing_is_whole_and_to_scale(chromium, tmp_path, paper):
    page, _ = opened(chromium, tmp_path, "a roof", 1280)
    printed = pdfium.PdfDocument(io.BytesIO(page.pdf(format=paper)))
    page.context.close()
    width, height = printed[0].get_size()
    drawn = []
    for one in printed:
        text = one.get_textpage()
        boxes = [text.get_charbox(number) for number in range(text.count_chars())]
        boxes = [box for box in boxes if box[2] > box[0] and box[3] > box[1]]
        assert min(box[0] for box in boxes) >= 6 * MM
        assert max(box[2] for box in boxes) <= width - 6 * MM
        assert min(box[1] for box in boxes) >= 6 * MM
        assert max(box[3] for box in boxes) <= height - 6 * MM
        words = " ".join(text.get_text_range().split())
        if "ridge" in words and "The roof: plane" in words:
            assert "2 in on paper = 200 in on the roof (1:100)" in words
            places = [text.get_charbox(text.search(r).get_next()[0])[0] for r in ("r3: ", "r19: ")]
            drawn.append((places[1] - places[0]) / MM)
    # by hand: 16 spaces of 610 mm at 1:100 are 97.6 mm on paper
    assert drawn == pytest.approx([97.6], abs=0.1)


def test_on_a_telephone_nothing_is_cut_off_sideways(chromium, tmp_path):
    page, _ = opened(chromium, tmp_path, "a roof", 390)
    hidden = page.evaluate(
        """() => [...document.querySelectorAll('.wide, figure')]
          .filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText)"""
    )
    assert hidden == []
    first = page.locator(".wide td[data-label]").first
    label = first.evaluate("one => getComputedStyle(one, '::before').content")
    assert label.strip('"') == first.get_attribute("data-label")
    page.context.close()
