"""Rows that lie differently, begin farther in, or are parted by thermal breaks; by hand."""

from dataclasses import replace

import pytest
from builders import branch, job, module, plane, racking

from crewplan.model.waiting_rows import Authority
from crewplan.takeoff import take_off, take_off_all
from crewplan.takeoff.marks import plane_marks
from crewplan.takeoff.plane import take_off_plane

RAILS = racking(gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0, cantilever_mm=400.0)
SMALL = module(width_mm=1000.0, height_mm=1600.0)
MEASURED = {
    "rafter_spacing_mm": 600.0, "width_mm": 9000.0, "slope_mm": 6000.0, "array_left_mm": 1000.0,
    "array_up_mm": 300.0, "first_rafter_mm": 100.0,
}  # fmt: skip


def counted(rails=RAILS, **changes):
    roof = plane(**(MEASURED | changes))
    return roof, take_off_plane(roof, SMALL, rails, None)


def test_portrait_and_landscape_rows_share_an_array():
    roof, found = counted(rows=(4, 3), row_orientations=("portrait", "landscape"))
    # 4 x 1000 + 3 x 10 + 100; 3 x 1600 + 2 x 10 + 100
    assert found.row_lengths_mm == (4130, 4920)
    low, high = plane_marks(roof, SMALL, RAILS, found).rows
    assert (low.module_up_mm, high.up_mm, high.module_up_mm) == (1600, 1610, 1000)
    assert high.rails_up_mm == (1860, 2360)  # 1610 + 250, 1610 + 750
    marks = plane_marks(roof, SMALL, RAILS, found)
    assert marks.array_up_mm == 2610


def test_the_array_is_as_high_as_its_rows_lie_for_the_ridges_set_back():
    tall = counted(rows=(4, 3), slope_mm=3500.0)[1]
    flat = counted(rows=(4, 3), slope_mm=3500.0, row_orientations=("portrait", "landscape"))[1]
    # 300 + 2 x 1600 + 10 = 3510 mm of 3500; with the second row lying 2910
    assert tall.problems[0] == "plane south: ridge set-back of 0 mm broken by 10 mm"
    assert not any("ridge" in words for words in flat.problems)


def test_a_row_that_is_set_in_begins_where_it_is_told_to():
    roof, found = counted(rows=(5, 3), row_left_mm=(0, 1010))
    low, high = plane_marks(roof, SMALL, RAILS, found).rows
    assert (low.left_mm, high.left_mm) == (0, 1010)
    assert high.modules_along_mm == (1060, 2070, 3080)
    assert set(high.seats_mm) <= set(plane_marks(roof, SMALL, RAILS, found).rafters_mm)
    assert min(high.seats_mm) >= 1010
    assert max(high.seats_mm) <= 1010 + 3120


def test_a_row_that_is_set_in_counts_for_the_right_edges_set_back():
    wide = counted(rows=(5, 5), width_mm=7000.0, row_left_mm=(0, 1010))[1]
    # 1000 + 1010 + 5140 = 7150 of 7000
    assert wide.problems[0] == "plane south: edge set-back on the right of 0 mm broken by 150 mm"


def test_words_for_other_rows_than_there_are_are_told():
    found = counted(rows=(4, 4), row_orientations=("portrait",), row_left_mm=(0, 0, 5))[1]
    assert found.problems == (
        "plane south: row_orientations has 1 words for 2 rows",
        "plane south: row_left_mm has 3 words for 2 rows",
    )


def test_an_array_is_shifted_within_its_tolerance_to_keep_an_edges_set_back():
    town = Authority("Invented Town", edge_setback_mm=1030.0)
    roof = plane(rows=(4,), **MEASURED)
    rails = racking(gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0, cantilever_mm=400.0,
                    tolerance_mm=40.0)  # fmt: skip
    assert take_off_plane(roof, SMALL, rails, town).problems == ()
    assert take_off_plane(roof, SMALL, rails, town).shift_mm >= 30
    stiff = take_off_plane(roof, SMALL, RAILS, town)
    assert (
        "edge set-back on the left of 1030 mm (Invented Town) broken by 30 mm"
        in (stiff.problems[0])
    )


BROKEN = racking(
    gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0, cantilever_mm=400.0, break_every_mm=4000.0
)


def test_a_thermal_break_parts_a_row_and_no_module_crosses_it():
    roof, found = counted(BROKEN, rows=(7,))
    # 3 modules and their ends are 3120 mm, 4 are 4130: runs of 3, 2 and 2, an inch (25 mm) between
    runs = plane_marks(roof, SMALL, BROKEN, found).rows[0].runs
    assert [(run.left_mm, run.modules) for run in runs] == [(0, 3), (3145, 2), (5280, 2)]
    assert found.row_lengths_mm == (3120 + 25 + 2110 + 25 + 2110,)
    assert found.rail_mm == 2 * (3120 + 2110 + 2110)


def test_each_run_of_rail_keeps_its_own_cantilever_and_has_its_own_clamps_and_bonding():
    rails = replace(BROKEN, cantilever_mm=600.0)  # as much as the rafters' spacing: always kept
    roof, found = counted(rails, rows=(7,))
    assert found.problems == ()
    for rail in found.rails:
        assert rail.seats_mm[0] <= 600
        assert rail.length_mm - rail.seats_mm[-1] <= 600
    items = take_off(job(), [(roof, SMALL, rails)]).items
    # two rails: mid clamps 2 x (2 + 1 + 1), end clamps 4 a run
    assert (items["mid clamp"], items["end clamp"], items["bonding lug"]) == (8, 12, 3)


def test_a_module_longer_than_a_run_may_be_is_refused_with_its_shortfall():
    short = racking(gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0, cantilever_mm=400.0,
                    break_every_mm=1050.0)  # fmt: skip
    found = counted(short, rows=(2,))[1]
    assert any(
        words == "plane south: row 1 has a module longer than the run of 1050 mm between thermal"
        " breaks by 50 mm"
        for words in found.problems
    )


def test_planes_of_one_job_may_have_their_own_racking_module_and_rows():
    folder = branch(
        planes=(
            plane("a", rows=(4,), row_orientations=("landscape",), racking="r1", module="S"),
            plane("b", rows=(3, 2), racking="r2"),
        ),
        modules=(module("S", width_mm=1000.0, height_mm=1600.0), module()),
        racking=(racking("r1", rail_mm=3000.0), racking("r2")),
    )
    found = take_off_all(folder)["J1"]
    assert {cut.racking: cut.stock_mm for cut in found.cuts} == {"r1": 3000.0, "r2": 4267.0}
    assert found.items["rail"] == len(found.cuts)
    assert found.items["module"] == 9


@pytest.mark.parametrize(
    ("covering", "pieces"),
    [
        ("shingle", {"attachment": 1, "flashing": 1, "lag": 1}),
        ("tile", {"tile hook": 1, "tile flashing": 1, "lag": 2}),
        ("slate", {"slate hook": 1, "flashing": 1, "lag": 2}),
        ("metal", {"seam clamp": 1}),
    ],
)
def test_each_covering_has_attachments_of_its_own(covering, pieces):
    # common practice, no source
    found = take_off(job(), [(plane(covering=covering), module(), racking())])
    seats = found.drivers["attachments"]
    words = ("attachment", "tile hook", "slate hook", "seam clamp", "flashing", "tile flashing")
    kinds = (*words, "lag")
    counts = {word: found.items[word] for word in kinds if found.items[word]}
    assert counts == {word: number * seats for word, number in pieces.items()}
