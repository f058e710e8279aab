"""Published row lengths and attachment counts.

392.25 in and its spacings: a distributor's worked page (read; counts by its formula). 11,410 mm:
a training page (read). Clamps: a rail catalogue (copy).
"""

import pytest
from builders import job, module, plane, racking

from crewplan.takeoff import take_off
from crewplan.takeoff.plane import take_off_plane
from crewplan.takeoff.rail import attachments_by_formula, row_length_mm, spaces_per_span

INCH = 25.4


def worked_page(rafter_in: float, span_in: float, cantilever_in: float):
    return take_off_plane(
        plane(rows=(10,), rafter_spacing_mm=rafter_in * INCH),
        module(width_mm=38.7 * INCH),
        racking(
            gap_mm=0.25 * INCH,
            overhang_mm=1.5 * INCH,
            max_span_mm=span_in * INCH,
            cantilever_mm=cantilever_in * INCH,
        ),
        None,
    )


def test_ten_modules_of_38_7_in_make_a_row_of_392_25_in():
    rail = racking(gap_mm=0.25, overhang_mm=1.5)
    assert row_length_mm(10, 38.7, rail) == pytest.approx(392.25)


def test_rafters_every_24_in_take_9_attachments_a_rail_and_18_a_row():
    counted = worked_page(24, 48, 16)
    assert counted.row_lengths_mm == (pytest.approx(392.25 * INCH),)
    assert counted.attachments_per_rail == (9,)
    assert counted.attachments == 18


def test_rafters_every_16_in_and_a_span_of_64_in_take_7_a_rail():
    assert worked_page(16, 64, 21.33).attachments_per_rail == (7,)


def test_a_row_of_11410_mm_takes_12_a_rail_and_24_in_all():
    assert attachments_by_formula(11_410, 1_000, 300) == 12
    counted = take_off_plane(
        plane(rows=(10,), rafter_spacing_mm=500.0),
        module(width_mm=1141.0),
        racking(gap_mm=0, overhang_mm=0, max_span_mm=1000.0, cantilever_mm=300.0),
        None,
    )
    assert (counted.attachment_spacing_mm, counted.attachments) == (1000, 24)


def test_rafters_every_24_in_within_48_in_are_spaced_two_apart():
    assert spaces_per_span(24 * INCH, 48 * INCH) == 2


def test_the_worked_page_keeps_its_cantilever_only_where_the_first_rafter_is_near_the_end():
    # 9 attachments reach over 8 x 48 = 384 in: 8.25 in (210 mm) are left for both ends
    assert "where a rafter lies 0 to 210 mm" in worked_page(24, 48, 16).notes[1]


def test_two_rails_take_two_mid_clamps_a_gap_and_four_end_clamps_a_row():
    items = take_off(job(), [(plane(rows=(10,)), module(), racking())]).items
    assert (items["mid clamp"], items["end clamp"]) == (18, 4)
