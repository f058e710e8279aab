"""Shims from how far a roof is out of flat; lags against uplift."""

import numpy as np
import pytest
from builders import job, module, plane, racking

from crewplan.takeoff import take_off
from crewplan.takeoff.shims import shims
from crewplan.takeoff.withdrawal import carried_mm, lag_check, uplift_n

WOOD = {"uplift_pa": 1000.0, "rafter_gravity": 0.42}
LAGS = {"lag_diameter_mm": 7.9375, "lag_thread_mm": 63.5}
MEASURED = {"array_left_mm": 1000.0, "first_rafter_mm": 690.0}


def test_a_flat_roof_and_one_within_the_feet_s_play_take_no_shims():
    assert shims(40, 0.0) is None
    assert shims(40, 3.0) is None
    assert shims(0, 12.0) is None


def test_shims_of_eight_of_ten_roofs_by_hand():
    # 9 mm: dips of 0 to 3 take none, 3 to 6 one, 6 to 9 two, a third each; of one attachment eight
    # times in ten two or fewer; of one attachment 80 % lie at or under 2 pieces, one place
    one = shims(1, 9.0)
    assert (one.places_p80, one.pieces_p80, one.height_p80_mm) == (1, 2, 6.0)
    # 4.5 mm: a third takes one shim; of 2 attachments: none 4/9, one 4/9, two 1/9
    assert shims(2, 4.5).pieces_p80 == 1  # 8/9 of cases


@pytest.mark.parametrize(("attachments", "unevenness"), [(40, 8.0), (64, 12.0), (18, 25.0)])
def test_shims_agree_with_thrown_dice(attachments, unevenness):
    dips = np.random.default_rng(1).uniform(0, unevenness, (40_000, attachments))
    pieces = np.ceil(np.maximum(dips - 3.0, 0) / 3.0)
    found = shims(attachments, unevenness)
    assert abs(found.pieces_p80 - np.quantile(pieces.sum(axis=1), 0.8)) <= 1
    assert abs(found.places_p80 - np.quantile((pieces > 0).sum(axis=1), 0.8)) <= 1


def test_an_attachment_carries_half_of_each_span_beside_it_and_all_of_a_cantilever():
    assert carried_mm(3000.0, (400.0, 1600.0, 2800.0)) == 1200
    assert carried_mm(3000.0, (900.0, 2100.0)) == 900 + 600  # both ends: 900 and half of 1200
    # 1000 Pa on 1.2 m of rail under half of a module of 1.722 m
    assert uplift_n(1000.0, 1200.0, 1722.0) == pytest.approx(1033.2)


def counted(rails=None, **changes):
    roof = plane(**(MEASURED | changes))
    return take_off(job(), [(roof, module(), racking(**(rails or {})))]).planes[0]


def test_without_a_stated_pressure_wood_or_lag_nothing_is_checked():
    assert counted().uplift.word == "not checked"
    assert counted().uplift.missing == (
        "uplift_pa", "rafter_gravity", "lag_diameter_mm", "lag_thread_mm",
    )  # fmt: skip
    assert counted(LAGS, rafter_gravity=0.42).uplift.missing == ("uplift_pa",)
    assert counted(LAGS, **WOOD, first_rafter_mm=None).uplift.missing == ("first_rafter_mm",)


def test_uplift_over_the_lags_reference_withdrawal_is_flagged_and_does_not_refuse_the_layout():
    # by hand: 205 lb/in x 2.5 in = 512 lb = 2280 N; spans of 1220: 1.22 x 0.861 x p
    light, heavy = (counted(LAGS, uplift_pa=p, rafter_gravity=0.42) for p in (1000.0, 2500.0))
    assert light.uplift.word == "not flagged"
    assert light.uplift.holds_n == pytest.approx(2280, rel=0.005)
    assert heavy.uplift.word == "flagged"
    assert heavy.uplift.uplift_n == pytest.approx(2.5 * light.uplift.uplift_n)
    assert heavy.problems == light.problems


def test_clamps_on_seams_have_no_lags_to_check():
    found = counted(LAGS, **WOOD, covering="metal").uplift
    assert (found.word, found.lags, found.missing) == ("not checked", 0, ())


def test_two_lags_hold_twice_of_one():
    one, two = (lag_check(1000.0, 0.42, (7.9, 60.0), lags, 500.0).holds_n for lags in (1, 2))
    assert two == 2 * one
