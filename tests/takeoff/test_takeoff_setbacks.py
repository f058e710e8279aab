import pytest
from builders import branch, job, module, plane, racking

from crewplan.model.waiting_rows import Authority
from crewplan.takeoff import take_off_all
from crewplan.takeoff.plane import take_off_plane

TOWN = Authority("Invented Town", ridge_setback_mm=457.0, edge_setback_mm=914.0)
# sizes by hand: 7 portrait modules are 7 x 1134 + 6 x 6.35 + 2 x 38.1 = 8052.3 mm wide,
# three rows 3 x 1722 + 2 x 6.35 = 5178.7 mm up the slope


def problems(**size):
    return take_off_plane(plane(**size), module(), racking(), TOWN).problems


def test_an_array_that_fits_between_all_set_backs_has_no_problem():
    assert problems(width_mm=9881.0, slope_mm=5636.0) == ()


def test_a_plane_too_narrow_names_plane_rule_and_shortfall():
    assert problems(width_mm=9780.3, slope_mm=6000.0) == (
        "plane south: edge set-backs of 914 mm (Invented Town) broken by 100 mm",
    )


def test_an_array_too_near_the_left_edge_is_refused():
    assert problems(width_mm=12000.0, slope_mm=6000.0, array_left_mm=864.0) == (
        "plane south: edge set-back on the left of 914 mm (Invented Town) broken by 50 mm",
    )


def test_an_array_too_near_the_right_edge_is_refused():
    assert problems(width_mm=10000.0, slope_mm=6000.0, array_left_mm=1073.7) == (
        "plane south: edge set-back on the right of 914 mm (Invented Town) broken by 40 mm",
    )


def test_rows_that_start_up_the_slope_come_nearer_the_ridge():
    assert problems(width_mm=12000.0, slope_mm=6000.0, array_up_mm=400.0) == (
        "plane south: ridge set-back of 457 mm (Invented Town) broken by 36 mm",
    )


def test_landscape_rows_are_longer_and_lower():
    counted = take_off_plane(plane(orientation="landscape"), module(), racking(), TOWN)
    # by hand: 7 x 1722 + 6 x 6.35 + 2 x 38.1
    assert counted.row_lengths_mm[0] == pytest.approx(12168.3)
    lower = problems(orientation="landscape", width_mm=15000.0, slope_mm=3880.0)
    # by hand: 3 x 1134 + 2 x 6.35 + 457 = 3871.7 mm
    assert lower == ()


def test_without_the_planes_size_there_are_counts_only_and_it_says_so():
    counted = take_off_plane(plane(), module(), racking(), TOWN)
    assert counted.problems == ()
    assert counted.notes[0] == (
        "plane south: width_mm and slope_mm not known, set-backs not checked"
    )


def test_without_an_authority_the_planes_own_edges_still_hold():
    counted = take_off_plane(plane(width_mm=8000.0, slope_mm=9000.0), module(), racking(), None)
    assert counted.problems == ("plane south: edge set-backs of 0 mm broken by 52 mm",)


def test_set_backs_are_those_of_the_jobs_own_authority():
    lax = Authority("Lax County")
    folder = branch(
        jobs=(job("J1", authority="Invented Town"), job("J2", authority="Lax County")),
        planes=(
            plane(job="J1", width_mm=9000.0, slope_mm=9000.0),
            plane(job="J2", width_mm=9000.0, slope_mm=9000.0),
        ),
        stages=(),
        authorities=(TOWN, lax),
    )
    found = take_off_all(folder)
    assert len(found["J1"].planes[0].problems) == 1
    assert found["J2"].planes[0].problems == ()


def test_a_shift_to_save_penetrations_does_not_cross_a_set_back():
    at_the_edge = plane(
        rows=(5,), array_left_mm=914.0, first_rafter_mm=604.0, width_mm=9000.0, slope_mm=6000.0
    )
    counted = take_off_plane(at_the_edge, module(), racking(tolerance_mm=200.0), TOWN)
    assert counted.problems == ()
    assert counted.shift_mm >= 0
