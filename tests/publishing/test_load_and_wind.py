"""What goes onto the truck, what stands on every sheet, and what the wind does to a module."""

import pytest
from board_views import take_off
from builders import branch, job, module, stage

from crewplan.publishing.load_list import load_list, tools
from crewplan.publishing.site_cautions import site_cautions
from crewplan.publishing.wind_on_module import wind_as_mass_kg, wind_force_n, wind_pressure_pa


@pytest.mark.parametrize(
    ("speed_mps", "force_n"),
    [(5, 35.7), (8, 91.5), (10, 143.0), (13, 241.6)],  # shared/TRADE.md, computed from ASCE 7
)
def test_the_push_on_a_module_is_the_trades_table(speed_mps: float, force_n: float) -> None:
    sheet = module(width_mm=1130.0, height_mm=1720.0)
    assert wind_force_n(speed_mps, sheet) == pytest.approx(force_n, abs=0.05)


def test_at_twelve_metres_a_second_the_wind_weighs_as_much_as_the_module() -> None:
    sheet = module(width_mm=1130.0, height_mm=1720.0)
    assert wind_as_mass_kg(12.15, sheet) == pytest.approx(21.5, abs=0.05)  # TRADE: 12.1 m/s
    assert wind_pressure_pa(10) == pytest.approx(61.3)


def test_a_stage_loads_its_share_and_never_less_than_a_piece() -> None:
    halves = branch(stages=(stage("S1", share=0.5), stage("S2")))
    lines = {
        line.item: line.counted for line in load_list(halves, halves.stages[1], take_off("J1"))
    }
    # by hand: halves of 19 modules and 54 attachments, rounded up
    assert (lines["module"], lines["attachment"]) == (10, 27)


def test_three_equal_thirds_load_no_extra_piece() -> None:
    thirds = branch(stages=tuple(stage(f"S{n}") for n in range(3)))
    counted = load_list(thirds, thirds.stages[0], take_off("J1"))
    assert {line.item: line.counted for line in counted}["attachment"] == 18


def test_electrical_work_loads_no_roof_material() -> None:
    wiring = branch(stages=(stage("S1", kind="electrical"),))
    assert load_list(wiring, wiring.stages[0], take_off("J1")) == ()


def test_tools_follow_how_modules_get_up_and_what_the_stage_asks_for() -> None:
    with_boom = tools(stage(equipment=("boom", "roof_jack")), job(lift_method="boom"))
    assert with_boom[:2] == ("roof jack", "boom with its load chart")  # the boom once, by its words
    assert "tag line" in with_boom
    assert "tag line" not in tools(stage(kind="electrical"), job(lift_method="boom"))


def test_nobody_alone_on_a_roof_and_no_module_up_a_ladder_stand_on_every_roof_sheet() -> None:
    words = " ".join(caution.text for caution in site_cautions("roof"))
    assert "Never alone on a roof" in words
    assert "Nobody climbs a ladder carrying a module" in words
    assert all(caution.source for caution in site_cautions("roof"))
