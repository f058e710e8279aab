"""Offsets from line A (along the eave) and line B (up the slope), by hand for one plane."""

import math

import pytest
from builders import branch, job, module, plane, racking

from crewplan.takeoff import take_off_all
from crewplan.takeoff.marks import job_marks, plane_marks, square_check
from crewplan.takeoff.plane import take_off_plane

RAILS = racking(gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0, cantilever_mm=400.0)
SMALL = module(width_mm=1000.0, height_mm=1600.0)
MEASURED = {
    "rafter_spacing_mm": 600.0,
    "width_mm": 6000.0,
    "slope_mm": 5000.0,
    "array_left_mm": 1000.0,
    "array_up_mm": 300.0,
    "first_rafter_mm": 100.0,
}


def marks_of(rows=(3, 2), rails=RAILS, **changes):
    roof = plane(rows=rows, **(MEASURED | changes))
    return plane_marks(roof, SMALL, rails, take_off_plane(roof, SMALL, rails, None))


def test_rails_cross_each_row_at_a_quarter_and_three_quarters_of_its_modules():
    low, high = marks_of().rows
    # by hand: modules 1600 up the slope, gap 10: rows begin at 0 and 1610
    assert (low.up_mm, high.up_mm) == (0, 1610)
    assert low.rails_up_mm == (400, 1200)
    assert high.rails_up_mm == (2010, 2810)


def test_modules_begin_past_the_rails_ends_and_follow_with_the_gap():
    low, _ = marks_of().rows
    assert low.modules_along_mm == (50, 1060, 2070)  # by hand: overhang 50, then 1000 + 10 each
    assert low.length_mm == 3120  # 3 * 1000 + 2 * 10 + 2 * 50


def test_rafters_are_numbered_from_the_planes_left_edge_and_measured_from_line_b():
    marks = marks_of()
    # by hand: rafters at 100, 700, ... 5500 of the plane; line B at 1000
    assert marks.rafters_mm == (-900, -300, 300, 900, 1500, 2100, 2700, 3300, 3900, 4500)
    assert marks.line_b_along_mm == 1000
    assert marks.line_a_up_mm == 300


def test_every_attachment_lies_on_a_rafter():
    marks = marks_of()
    for row in marks.rows:
        assert row.seats_mm
        assert len(row.seats_mm) + len(row.upper_seats_mm) == row.attachments
        assert set(row.seats_mm) <= set(marks.rafters_mm)


def test_where_the_array_is_shifted_line_b_moves_with_it_and_rafters_come_nearer():
    free = marks_of(rails=racking(gap_mm=10.0, overhang_mm=50.0, max_span_mm=1200.0,
                                  cantilever_mm=400.0, tolerance_mm=300.0),
                    first_rafter_mm=550.0)  # fmt: skip
    assert free.shift_mm != 0
    assert free.line_b_along_mm == pytest.approx(1000 + free.shift_mm)
    assert free.rafters_mm[0] == pytest.approx(550 - 1000 - free.shift_mm)


def test_the_diagonal_is_the_root_of_both_sides_squared():
    check = square_check(3000.0, 4000.0)
    assert check.diagonal_mm == 5000  # 3, 4, 5
    marks = marks_of()
    # by hand: the shorter row (2 modules) is 2110 long, both rows are 3210 up
    assert (marks.square.along_mm, marks.square.up_mm) == (2110, 3210)
    assert marks.square.diagonal_mm == pytest.approx(math.sqrt(2110**2 + 3210**2))


def test_the_drift_told_is_what_the_tolerance_on_the_diagonals_lets_through():
    check = square_check(5774.0, 5178.0)
    leaning = [math.hypot(check.along_mm + s * check.drift_mm, check.up_mm) for s in (1, -1)]
    assert leaning[0] - leaning[1] == pytest.approx(check.tolerance_mm, rel=1e-4)


def test_without_measured_rafters_there_are_counts_only_and_the_marks_say_so():
    marks = marks_of(first_rafter_mm=None)
    assert marks.rafters_mm == ()
    assert all(row.seats_mm == () and row.attachments >= 4 for row in marks.rows)
    assert any("counted only" in note for note in marks.notes)


def test_what_the_tables_do_not_say_is_asked_for_on_site():
    marks = marks_of(array_left_mm=None, array_up_mm=None, width_mm=None, slope_mm=None)
    assert marks.line_a_up_mm is None
    assert marks.line_b_along_mm is None
    told = " ".join(marks.notes)
    assert "to line A: not stated" in told
    assert "to line B: not stated" in told
    assert "size is not known" in told


def test_without_the_planes_width_rafters_reach_just_past_the_array():
    marks = marks_of(width_mm=None)
    assert marks.rafters_mm[-2] < marks.array_along_mm <= marks.rafters_mm[-1]


def test_a_row_over_too_few_rafters_is_named():
    marks = marks_of(rows=(3, 1), rafter_spacing_mm=1200.0, first_rafter_mm=2150.0)
    assert marks.rows[1].seats_mm == ()
    assert "no places for the attachments of row 2: too few rafters below" in marks.notes


def test_modules_that_lie_are_turned_in_the_marks_too():
    low, high = marks_of(orientation="landscape").rows
    assert (low.module_along_mm, low.module_up_mm) == (1600, 1000)
    assert high.up_mm == 1010


def test_each_plane_of_a_job_has_marks_with_its_own_module():
    planes = (plane("south", module="S"), plane("east", module="B"), plane(job="J2"))
    kinds = (module("S"), module("B", width_mm=1200.0), module())
    jobs = (job("J1"), job("J2"))
    tables = branch(planes=planes, modules=kinds, jobs=jobs)
    marks = job_marks(tables, take_off_all(tables)["J1"])
    assert [row.plane for row in marks] == ["south", "east"]
    assert marks[1].rows[0].module_along_mm == 1200
