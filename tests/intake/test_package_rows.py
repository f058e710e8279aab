"""The package's rows hold, and a folder's rows take their place as DESIGN.md says."""

from pathlib import Path

import pytest
from folders import base

from crewplan.intake import read_folder
from crewplan.intake.package_rows import PACKAGE_TABLES, package_rows


@pytest.mark.parametrize("name", PACKAGE_TABLES)
def test_the_packages_own_rows_are_without_fault(name: str) -> None:
    assert package_rows(name)


@pytest.mark.parametrize("name", ["rates", "factors", "limits"])
def test_every_figure_of_the_package_that_is_trusted_has_a_source(name: str) -> None:
    assert all(row.source for row in package_rows(name))


def test_a_module_of_the_folder_replaces_the_packages_of_that_name_only(tmp_path: Path) -> None:
    modules = "module,width_in,height_in,mass_lb,power_w\nM400,40,70,50,405\n"
    branch = read_folder(base(tmp_path / "b", modules=modules))
    named = {row.module: row for row in branch.modules}
    assert named["M400"].width_mm == 1016
    assert len(named) == len(branch.modules) == len(package_rows("modules"))


def test_the_folders_racking_is_the_tables_first(tmp_path: Path) -> None:
    racking = (
        "racking,gap_mm,overhang_mm,max_span_mm,cantilever_mm,rail_mm\nown,6,40,1200,400,4000\n"
    )
    branch = read_folder(base(tmp_path / "b", racking=racking))
    assert branch.racking[0].racking == "own"
    assert {row.racking for row in branch.racking} > {"own", "standard_rail"}


def test_a_rate_of_the_folder_replaces_all_package_rates_of_its_step(tmp_path: Path) -> None:
    rates = "step,driver,hours_per_unit,source\nrails,modules,0.2,own record\n"
    branch = read_folder(base(tmp_path / "b", rates=rates))
    assert [(r.driver, r.hours_per_unit) for r in branch.rates if r.step == "rails"] == [
        ("modules", 0.2)
    ]
    assert {r.step for r in branch.rates} == {r.step for r in package_rows("rates")}


def test_a_step_of_the_folder_stands_in_for_the_packages(tmp_path: Path) -> None:
    steps = "step,kind,exposure,driver,after,min_people\nrails,roof,roof,rail_m,,3\n"
    branch = read_folder(base(tmp_path / "b", steps=steps))
    assert [row.min_people for row in branch.steps if row.step == "rails"] == [3]


def test_limits_stay_apart_and_are_in_the_gates_units(tmp_path: Path) -> None:
    limits = (
        "exposure,measure,at_most,unit,height_ft,source\nlift,gust,20,kt,33,own rule\n"
        "lift,wind,none,mph,,own rule\nroof,frost,41,°F,,own rule\nroof,light,,,,own rule\n"
    )
    branch = read_folder(base(tmp_path / "b", limits=limits))
    gust, wind, frost, light = branch.limits
    assert gust.at_most == pytest.approx(20 * 1852 / 3600)
    assert (gust.unit, gust.height_m) == ("kt", pytest.approx(10.0584))
    assert wind.at_most is None
    assert (frost.at_most, frost.unit, light.at_most) == (5.0, "degF", 0.0)
    package = {(row.exposure, row.measure, row.effect): row for row in branch.package_limits}
    assert package["lift", "gust", "stop"].at_most == pytest.approx(26 * 0.44704)  # TRADE.md
    assert package["lift", "wind", "stop"].at_most == pytest.approx(17 * 0.44704)  # TRADE.md


def test_a_factor_of_the_folder_replaces_the_packages_however_its_condition_is_written(
    tmp_path: Path,
) -> None:
    step, condition = package_rows("factors")[0].step, "Pitch_deg  >= 18.430"
    factors = f"step,condition,factor,source\n{step},{condition},1.7,own record\n"
    branch = read_folder(base(tmp_path / "b", factors=factors))
    same = [f for f in branch.factors if (f.step, f.condition) == (step, "pitch_deg>=18.43")]
    assert [factor.factor for factor in same] == [1.7]
    assert len(branch.factors) == len(package_rows("factors"))
