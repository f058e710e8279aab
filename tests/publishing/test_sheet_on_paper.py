"""The sheet as PDF: every required part is in its text, and nothing is clipped on A4 or Letter."""

import json
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser

import pypdfium2 as pdfium
import pytest
from sheet_cases import (
    ROOF,
    UNPLACED,
    facts_of,
    in_units,
    no_forecast,
    placed,
    sheet,
    week,
    with_branch,
)

from crewplan.publishing.crew_sheet import SheetFacts
from crewplan.publishing.crew_sheet.as_html import sheet_html
from crewplan.publishing.crew_sheet.as_pdf import sheet_pdf
from crewplan.publishing.crew_sheet.as_text import sheet_text

MM = 72 / 25.4
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI Y14.1
MARGIN_MM = 6.0
"""Most printers keep less of the edge free than this (common practice, no source)."""

PARTS = (
    "Who, where, when", "Alder", "Orla Tindrel", "85 Thimble Street, Quillmere", "555-0156",
    "Mon 4 May: am and pm, 07:00 to 16:00",
    "Can we work?", "GO", "Window 07:00 to 16:00", "Void after Mon 4 May, 03:00",
    "clock set by hand: not for work",
    "local codes, makers' manuals, licensed trades and the competent person on site come first",
    "the wind presses with",
    "Hours by step", "unload and prepare", "torque check",
    "Load-out", "mid clamp", "end clamp", "Spare", "boom with its load chart", "rescue kit",
    "Order of work", "connect a module's lead before it is set down", "Lift shut, roof go",
    "mark module frames on the ground",
    "Cutting the rails", "stock lengths for the whole job", "no cutting takes fewer",
    "Mind", "Never alone on a roof", "29 CFR 1926.502(d)(20)", "Thunder: everybody down",
    "The roof: plane south", "Line A", "Line B", "both diagonals", "attachment", "rafter", "rail",
    "splice", "Load: ", "structural letter",
    "paper = 200 in on the roof (1:100)",
    "Briefing", "The same on every site", "Special here", "Who was told, and signs",
    "Closing checks", "Torque: mid clamps and end clamps", "maker's sheet", "Bonding",
    "Power against expected",
    "Where the figures are from", "roofing trade",
)  # fmt: skip


class _Words(HTMLParser):
    """Text of a page without its style; tags seen."""

    def __init__(self):
        super().__init__()
        self.words, self.tags, self.inside = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.inside.append(tag)
        assert not any(name.startswith("on") for name, _ in attrs)

    def handle_endtag(self, tag):
        while self.inside and self.inside.pop() != tag:
            pass

    def handle_data(self, data):
        if "style" not in self.inside:
            self.words.append(data)


def html_words(facts: SheetFacts) -> tuple[str, list[str]]:
    page = _Words()
    page.feed(sheet_html(sheet(facts)))
    return " ".join(" ".join(page.words).split()), page.tags


def flat(text: str) -> str:
    """As one line; the PDF's writer sets curly quotes."""
    return " ".join(text.replace("’", "'").replace("‘", "'").split())


@cache
def long_facts() -> SheetFacts:
    """Every text of the tables as long as somebody might write it, and a roof of 14 rows."""
    facts = facts_of()
    endless = "Wohlgemuth-Niederhammersbergerstrasse" * 3
    words = "a long way round by the mill, then left " * 6
    job = replace(facts.job, customer=endless, address=words, access_note=words, contact=endless)
    people = tuple(replace(p, phone="+49 (0) 555 0100 0100 ext. 12345") for p in facts.people)
    item = replace(facts.branch.items[0], item=endless, takeoff_item="module")
    everybody = tuple(
        next((p for p in people if p.person == row.person), row) for row in facts.branch.people
    )
    return replace(with_branch(facts, people=everybody, items=(*facts.branch.items, item)), job=job)


def two_planes() -> str:
    """A roof stage of a job with two planes whose rafters are not measured."""
    roofs = {row.job: row.stage for row in week().branch.stages if row.kind == "roof"}
    planes = [row.job for row in week().branch.planes if row.first_rafter_mm is None]
    return next(roofs[job] for job in planes if planes.count(job) > 1)


CASES = {
    "a roof": lambda: facts_of(),
    "a roof, metric": lambda: in_units(facts_of(), "metric"),
    "no place": lambda: facts_of(UNPLACED),
    "no forecast": lambda: no_forecast(facts_of()),
    "electrical": lambda: facts_of(placed("electrical")),
    "a return": lambda: facts_of(placed("return")),
    "an inspection": lambda: facts_of(placed("inspection")),
    "commissioning": lambda: facts_of(placed("commissioning")),
    "long words": long_facts,
    "a cut list": lambda: facts_of("J01-roof"),
    "two planes, not measured": lambda: facts_of(two_planes()),
}


def pages(facts: SheetFacts, paper: str):
    return pdfium.PdfDocument(sheet_pdf(sheet(facts), paper))


def pdf_words(facts: SheetFacts, paper: str) -> str:
    return flat(" ".join(page.get_textpage().get_text_range() for page in pages(facts, paper)))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_required_part_is_in_the_pdfs_text(paper):
    words = pdf_words(facts_of(), paper)
    assert [part for part in PARTS if flat(part) not in words] == []


def test_every_required_part_is_in_the_html_and_there_are_no_scripts_and_nothing_is_fetched():
    words, tags = html_words(facts_of())
    assert [part for part in PARTS if part not in words] == []
    assert not {"script", "link", "img", "iframe", "object"} & set(tags)
    assert tags.count("svg") == len(facts_of().marks)
    page = sheet_html(sheet(facts_of()))
    assert "url(" not in page
    assert "@import" not in page
    assert page.count("http") == page.count("http://www.w3.org/2000/svg")


def test_text_for_a_terminal_has_them_too():
    words = " ".join(sheet_text(sheet(facts_of())).split())
    drawn = ("paper = 200 in on the roof (1:100)",)
    missing = [part for part in PARTS if part.lower() not in words.lower() and part not in drawn]
    assert missing == []


@pytest.mark.parametrize("stage", [ROOF, UNPLACED])
def test_load_lines_and_tools_have_boxes_to_tick_in_html(stage):
    words, tags = html_words(facts_of(stage))
    takeoff = facts_of(stage).takeoff.items
    assert tags.count("input") >= len(takeoff) + 10
    assert "Keep this sheet" in words


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("case", CASES)
def test_no_letter_lies_outside_the_printable_page(case, paper):
    width, height = (side * MM for side in PAPERS[paper])
    for page in pages(CASES[case](), paper):
        assert page.get_size() == pytest.approx((width, height), abs=0.5)
        text = page.get_textpage()
        for number in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(number)
            if right <= left or top <= bottom:
                continue  # spaces
            assert left >= MARGIN_MM * MM
            assert bottom >= MARGIN_MM * MM
            assert right <= width - MARGIN_MM * MM
            assert top <= height - MARGIN_MM * MM


@pytest.mark.parametrize("paper", PAPERS)
def test_each_drawing_is_whole_on_one_page(paper):
    for page in pages(facts_of(), paper):
        words = flat(page.get_textpage().get_text_range())
        if "The roof: plane" in words:
            assert "ridge" in words
            assert "line B" in words
            assert "paper = 200 in on the roof (1:100)" in words


@pytest.mark.parametrize("paper", PAPERS)
def test_the_drawing_keeps_its_scale_on_paper(paper):
    """Letters of two rafters' labels lie as far apart as the rafters do at 1:100."""
    page = next(
        page
        for page in pages(facts_of(), paper)
        if "The roof: plane" in page.get_textpage().get_text_range()
    )
    text = page.get_textpage()
    found = []
    for label in ("r3: ", "r19: "):
        index, _ = text.search(label).get_next()
        found.append(text.get_charbox(index)[0])
    # by hand: 16 spaces of 610 mm at 1:100 are 97.6 mm on paper
    assert (found[1] - found[0]) / MM == pytest.approx(97.6, abs=0.1)


def test_every_page_of_the_pdf_carries_the_clocks_mark_and_whose_word_comes_first():
    for page in pages(facts_of(), "a4"):
        words = flat(page.get_textpage().get_text_range())
        assert "clock set by hand: not for work" in words
        assert "Advice only: local codes" in words


def test_a_stage_without_a_place_says_so_first_on_paper_and_on_the_page():
    assert html_words(facts_of(UNPLACED))[0].split("NOT PLACED")[0].count("Who, where") == 0
    first = pages(facts_of(UNPLACED), "a4")[0].get_textpage().get_text_range()
    assert first.index("NOT PLACED") < first.index("Who, where, when")


def test_printed_in_black_and_white_nothing_is_lost():
    page = pages(no_forecast(facts_of()), "a4")[0]
    image = page.render(scale=1).to_numpy().astype(int)
    assert abs(image[..., 0] - image[..., 1]).max() == 0
    assert abs(image[..., 1] - image[..., 2]).max() == 0


def test_words_of_the_tables_are_never_read_as_layout():
    facts = facts_of()
    sly = '#panic("x") *b* <b>&amp;</b> $1$ \\ "quote"'
    job = replace(facts.job, access_note=sly)
    assert '#panic("x") *b* <b>&amp;</b> $1$' in flat(
        pdf_words(replace(facts, job=job), "a4")
    ).replace("“", '"').replace("”", '"')
    assert sly in html_words(replace(facts, job=job))[0]


def test_the_same_sheet_is_the_same_file():
    assert sheet_pdf(sheet(facts_of()), "a4") == sheet_pdf(sheet(facts_of()), "a4")
    json.dumps(sheet_html(sheet(facts_of())))
