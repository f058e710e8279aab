"""Published row lengths and attachment counts.

392.25 in and its spacings: a distributor's worked page (read; counts by its formula). 11,410 mm:
a training page (read). Clamps: a rail catalogue (copy). Cantilever, splices, thermal breaks:
makers' manuals (read). Spacings and 48 in: permitting guides of SolSmart and California (read).
Access: IRC 2018 R324.6 (read in a copy). Withdrawal of lags: test_lag_withdrawal.py.
"""

import math
from itertools import accumulate

import pytest
from builders import job, module, package_rows, plane, racking

from crewplan.model.waiting_rows import Authority
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


def test_the_packages_cantilevers_are_a_third_of_their_spans_and_its_spans_the_guides():
    # a third unless the maker says otherwise; 48 in, and 72 in only with no snow and low wind
    for rail in package_rows("racking"):
        assert rail.cantilever_mm <= rail.max_span_mm / 3
    spans = [rail.max_span_mm for rail in package_rows("racking")]
    assert spans == pytest.approx([48 * INCH, 72 * INCH], abs=1.5)  # whole mm


def test_no_splice_of_a_house_lies_in_the_middle_third_of_a_span():
    roof = plane(array_left_mm=1000.0, first_rafter_mm=690.0)
    found = take_off(job(), [(roof, module(), racking(cantilever_mm=600.0))]).planes[0]
    spliced = [rail for rail in found.rails if rail.splices_mm]
    assert spliced
    for rail in spliced:
        for cut in rail.splices_mm:
            before = max(seat for seat in rail.seats_mm if seat <= cut + 1e-6)
            after = min(seat for seat in rail.seats_mm if seat >= cut - 1e-6)
            share = (cut - before) / (after - before) if after > before else 0.0
            assert not 1 / 3 + 1e-6 < share < 2 / 3 - 1e-6


def test_splices_a_rail_are_length_over_stock_rounded_up_less_one():
    # common practice, no source
    for modules in (3, 7, 10):
        found = take_off(job(), [(plane(rows=(modules,)), module(), racking())])
        length = found.planes[0].row_lengths_mm[0]
        assert found.items["splice"] == 2 * (math.ceil(length / 4267.0) - 1)


@pytest.mark.parametrize("feet", [40, 36, 30])
def test_a_thermal_break_comes_at_least_every_so_many_feet_and_no_module_crosses_it(feet):
    rails = racking(break_every_mm=feet * 12 * INCH)
    found = take_off_plane(plane(rows=(24,)), module(), rails, None)
    runs = [rail for rail in found.rails if rail.place == "lower"]
    assert max(rail.length_mm for rail in runs) <= feet * 12 * INCH
    # each run ends past its own last module: whole modules and two ends
    for rail in runs:
        modules = (rail.length_mm - 2 * rails.overhang_mm + rails.gap_mm) / (1134 + rails.gap_mm)
        assert modules == pytest.approx(round(modules))
    lefts = [rail.left_mm for rail in runs]
    assert lefts == sorted(lefts)
    assert list(accumulate(rail.length_mm for rail in runs))[-1] < found.row_lengths_mm[0]


def test_access_paths_of_36_in_and_a_ridge_set_back_of_18_in_refuse_what_covers_them():
    town = Authority("Invented Town", ridge_setback_mm=18 * INCH, edge_setback_mm=36 * INCH)
    wide = 8052.3 + 2 * 36 * INCH  # seven modules and both pathways
    high = 3 * 1722 + 2 * 6.35 + 18 * INCH
    for short, broken in ((0.0, ()), (10.0, ("edge set-backs", "ridge set-back"))):
        size = {"width_mm": wide - short, "slope_mm": high - short}
        found = take_off_plane(plane(**size), module(), racking(), town).problems
        assert len(found) == len(broken)
        for words, rule in zip(found, broken, strict=True):
            assert f"{rule} of" in words
            assert "broken by 10 mm" in words
