"""The drawing is to scale, fits a page, and tells nothing by colour."""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from builders import module, plane, racking

from crewplan.publishing.roof_drawing import PAGE_MM, TooLarge, roof_drawing
from crewplan.publishing.svg_marks import PENS
from crewplan.publishing.tape import lengths_in, tape, tape_words
from crewplan.takeoff.marks import plane_marks
from crewplan.takeoff.plane import take_off_plane

SVG = "{http://www.w3.org/2000/svg}"
MEASURED = {
    "width_mm": 10602.0, "slope_mm": 6467.0, "array_left_mm": 1274.0, "array_up_mm": 300.0,
    "first_rafter_mm": 274.0, "rafter_spacing_mm": 406.0,
}  # fmt: skip


def marks_of(name="south", rows=(7, 7, 5), **changes):
    roof = plane(name, rows=rows, **(MEASURED | changes))
    return plane_marks(roof, module(), racking(), take_off_plane(roof, module(), racking(), None))


def drawn(marks, units="metric"):
    drawing = roof_drawing(marks, units)
    return drawing, ET.fromstring(drawing.svg)


def words_of(root):
    return " ".join(text.text or "" for text in root.iter(f"{SVG}text"))


def test_a_unit_of_the_drawing_is_a_millimetre_on_paper():
    drawing, root = drawn(marks_of())
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    assert root.attrib["width"] == f"{width:g}mm"
    assert root.attrib["height"] == f"{height:g}mm"
    assert (width, height) == pytest.approx((drawing.width_mm, drawing.height_mm), abs=1e-3)


@pytest.mark.parametrize("rows", [(7, 7, 5), (20,), (3,) * 6])
def test_lengths_on_paper_times_the_scale_are_lengths_on_the_roof(rows):
    marks = marks_of(rows=rows, width_mm=26000.0, slope_mm=11500.0)
    drawing, root = drawn(marks)
    rails = [e for e in root.iter(f"{SVG}line") if e.attrib["class"] == "rail"]
    roof = [row.length_mm for row in marks.rows for _ in row.rails_up_mm]
    paper = [float(e.attrib["x2"]) - float(e.attrib["x1"]) for e in rails[: len(roof)]]
    assert [length * drawing.scale for length in paper] == pytest.approx(roof, abs=0.5)
    dots = list(root.iter(f"{SVG}circle"))[: len(marks.rows[0].seats_mm)]
    across = [(float(e.attrib["cx"]) - float(dots[0].attrib["cx"])) * drawing.scale for e in dots]
    seats = marks.rows[0].seats_mm
    assert across == pytest.approx([seat - seats[0] for seat in seats], abs=0.5)


def test_the_bar_says_what_it_measures_on_the_roof():
    for units, told in (("metric", "50 mm on paper = 4000 mm"), ("us", "2 in on paper = 160 in")):
        drawing, root = drawn(marks_of(), units)
        assert drawing.scale == 80  # by hand: 10602 mm on 138 mm of paper
        assert f"{told} on the roof (1:80)" in words_of(root)


@pytest.mark.parametrize(
    ("rows", "width", "slope"), [((2,), 3000.0, 2500.0), ((30,), 40000.0, 4000.0),
                                 ((4,) * 12, 6500.0, 23000.0)]
)  # fmt: skip
def test_every_plane_fits_the_page_at_a_usual_scale(rows, width, slope):
    drawing, root = drawn(marks_of(rows=rows, width_mm=width, slope_mm=slope))
    assert drawing.width_mm <= PAGE_MM[0]
    assert drawing.height_mm <= PAGE_MM[1]
    for shape in root.iter(f"{SVG}line"):
        assert min(float(shape.attrib[x]) for x in ("x1", "x2")) >= 0
        assert max(float(shape.attrib[x]) for x in ("x1", "x2")) <= drawing.width_mm


def test_a_plane_that_no_page_holds_is_refused_not_squeezed():
    with pytest.raises(TooLarge, match="south"):
        roof_drawing(marks_of(width_mm=900_000.0), "metric")


def test_kinds_of_line_differ_without_colour():
    assert len({(pen.width, pen.dashes) for pen in PENS.values()}) >= len(PENS) - 1
    assert PENS["module"] == PENS["dimension"]  # told apart by the strokes across its ends
    colours = set(re.findall(r"#[0-9a-f]{3,6}\b", drawn(marks_of())[0].svg))
    assert colours == {"#000", "#fff"}


def test_the_drawing_names_lines_rails_rafters_and_both_diagonals():
    told = words_of(drawn(marks_of(), "us")[1])
    for part in ("line A", "line B", "eave", "ridge", "rafter", "rail", "attachment"):
        assert part in told
    assert "A + 16 15/16" in told  # by hand: 1722 / 4 = 430.5 mm
    assert "r4: 8 9/16" in told  # by hand: 274 + 3 * 406 - 1274 = 218 mm
    assert "both diagonals" in told


@pytest.mark.parametrize("up_mm", [20.0, 300.0, 950.0])
@pytest.mark.parametrize(("orientation", "width"), [("portrait", 10602.0), ("landscape", 26000.0)])
def test_no_word_beside_the_roof_covers_another(up_mm, orientation, width):
    marks = marks_of(orientation=orientation, array_up_mm=up_mm, width_mm=width, slope_mm=9000.0)
    _, root = drawn(marks, "us")
    beside = [
        text
        for text in root.iter(f"{SVG}text")
        if (text.text or "").startswith(("A + ", "line A", "eave", "ridge"))
    ]
    told = [text.text for text in beside]
    assert {"line A", "eave", "ridge"} <= set(told)
    assert any(word.startswith("A + ") for word in told)
    lines = sorted(float(text.attrib["y"]) for text in beside)
    height = float(beside[0].attrib["font-size"])
    assert min(below - above for above, below in pairwise(lines)) >= height


def test_where_rafters_are_not_known_none_is_drawn_and_no_attachment():
    root = drawn(marks_of(first_rafter_mm=None))[1]
    assert [e for e in root.iter(f"{SVG}circle") if float(e.attrib["cx"]) < 100] == []
    assert not re.search(r"\br\d+:", words_of(root))


def test_a_name_with_signs_of_markup_stays_a_name():
    root = drawn(marks_of(name="<south> & 'co'"))[1]
    assert "<south> & 'co'" in (root.findtext(f"{SVG}title") or "")


@pytest.mark.parametrize(
    ("length_mm", "inches"),
    [(25.4, "1"), (12.7, "1/2"), (0.0, "0"), (430.5, "16 15/16"), (-9.525, "−3/8"), (0.2, "0")],
)
def test_a_tape_reads_to_the_sixteenth(length_mm, inches):
    assert tape(length_mm, "us") == inches


def test_a_metric_tape_reads_whole_millimetres():
    assert tape_words(430.5001, "metric") == "431 mm"
    assert tape(-9.6, "metric") == "−10"


def test_sentences_of_the_take_off_are_told_in_the_readers_unit():
    note = "rows of 254 mm take 3 attachments where a rafter lies 0 to 127 mm from the left"
    assert lengths_in(note, "metric") == note
    assert "rows of 10 in take 3" in lengths_in(note, "us")
    assert "lies 0 to 5 in from" in lengths_in(note, "us")
