"""Cells may be empty or missing, except keys and the few that no plan can do without."""

import csv
import io
from pathlib import Path

import pytest
from folders import FAULTS, base

from crewplan.intake import InputFaults, read_folder
from crewplan.intake.dictionary import table_dictionary
from crewplan.intake.package_rows import package_rows

NEEDED = {
    (row.table, row.column)
    for row in table_dictionary()
    if row.table != "branch.toml" and (row.needed or (row.key and row.default == ""))
} - {("weather_past", "member")}
ROWS = {
    "certificates": "person,certificate,expires_on\nAnn,roof_anchor,2026-12-31\n",
    "absences": "person,first_day,last_day,reason\nBob,2026-05-11,2026-05-12,leave\n",
    "modules": "module,width_mm,height_mm,mass_kg,power_w\nM400,1134,1722,21.5,400\n",
    "racking": "racking,gap_mm,overhang_mm,max_span_mm,cantilever_mm,rail_mm,tolerance_mm,source\n"
    "standard_rail,6,40,1200,400,4000,50,own\n",
    "steps": "step,kind,exposure,driver,after,min_people\nsweep,roof,ground,days,,1\n",
    "rates": "step,driver,hours_per_unit,spread,source\nlift,modules,0.2,0.3,own\n",
    "factors": "step,condition,factor,source\nlift,storeys>=2,1.2,own\n",
    "lead_times": "kind,authority,asked_on,granted_on\npermit,Town,2026-02-01,2026-02-20\n",
    "authorities": "authority,asks_for,inspections_per_day,notice_days,ridge_setback_mm,"
    "edge_setback_mm,crew_note,source\nTown,permit,2,1,450,450,call,code\n",
    "items": "item,takeoff_item,pack,unit_cost\npallet,module,31,120\n",
    "stock": "item,on_hand\npallet,60\n",
    "arrivals": "item,quantity,expected_on,supplier\npallet,31,2026-05-07,Shop\n",
    "equipment": "equipment,quantity,cost_per_day\nboom,1,350\n",
    "limits": "exposure,measure,at_most,unit,averaging,height_m,effect,source\n"
    "lift,gust,20,mph,3 s,10,stop,own rule\n",
    "hours_worked": "day,stage,step,person,hours,cause,note\n2026-05-01,S1,lift,Ann,2,weather,\n",
    "progress": "day,stage,step,share_done\n2026-05-01,S1,lift,0.5\n",
    "plan": "stage,part,crew,start_on,start_half,half_days,pinned\nS1,1,Blue,2026-05-05,am,2,no\n",
}
"""One row of each table that the valid folder does not have."""


def _tables() -> dict[str, str]:
    own = {path.stem: path.read_text(encoding="utf-8") for path in (FAULTS / "_base").glob("*.csv")}
    return own | ROWS


CELLS = [
    (table, column)
    for table, text in _tables().items()
    for column in text.split("\n")[0].split(",")
]


def _without(text: str, column: str, whole: bool) -> str:
    rows = list(csv.reader(io.StringIO(text)))
    at = rows[0].index(column)
    if whole:
        rows = [row[:at] + row[at + 1 :] for row in rows]
    else:
        rows[1][at] = ""
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()


@pytest.mark.parametrize("whole", [False, True], ids=["the cell", "the whole column"])
@pytest.mark.parametrize(("table", "column"), CELLS)
def test_only_keys_and_what_no_plan_can_do_without_must_be_there(
    table: str, column: str, whole: bool, tmp_path: Path
) -> None:
    tables = _tables()
    tables[table] = _without(tables[table], column, whole)
    folder = base(tmp_path / "b", **tables)
    if (table, column) not in NEEDED:
        read_folder(folder)
        return
    with pytest.raises(InputFaults) as told:
        read_folder(folder)
    first = told.value.faults[0]
    assert (first.file, first.row, first.column) == (f"{table}.csv", 1 if whole else 2, column)


def test_a_rail_without_its_gap_is_filled_in_from_the_packages_first(tmp_path: Path) -> None:
    racking = "racking,overhang_mm,max_span_mm,cantilever_mm,rail_mm\nown,40,1200,400,4000\n"
    planes = (FAULTS / "_base" / "planes.csv").read_text(encoding="utf-8")
    planes = planes.replace("standard_rail", "own")
    branch = read_folder(base(tmp_path / "b", racking=racking, planes=planes))
    own = next(row for row in branch.racking if row.racking == "own")
    assert own.gap_mm == package_rows("racking")[0].gap_mm
    assert own.overhang_mm == 40
    assert branch.warnings == (
        "racking.csv, row 2: no gap_mm, so that 6.35 is assumed, "
        "as the package has it for standard_rail.",
    )


def test_a_step_that_the_package_has_is_filled_in_from_there(tmp_path: Path) -> None:
    steps = "step,min_people\nlift,3\nsweep,1\n"
    branch = read_folder(base(tmp_path / "b", steps=steps))
    lift = next(row for row in branch.steps if row.step == "lift")
    assert (lift.kind, lift.exposure, lift.min_people) == ("roof", "lift", 3)
    assert "sweep" not in {row.step for row in branch.steps}
    assert "steps.csv, row 3: no kind, so that it is left out." in branch.warnings


def test_a_limit_without_value_or_unit_leaves_the_packages_limit_standing(tmp_path: Path) -> None:
    limits = "exposure,measure,at_most,unit,source\nlift,gust,,mph,own\nlift,wind,90,,own\n"
    branch = read_folder(base(tmp_path / "b", limits=limits))
    assert branch.limits == ()
    assert branch.warnings == (
        "limits.csv, row 2: no at_most, so that it is left out.",
        "limits.csv, row 3: no unit, so that it is left out.",
    )


def test_hours_of_no_stage_are_left_out_with_a_warning(tmp_path: Path) -> None:
    hours = "day,stage,person,hours\n2026-05-01,,Ann,2\n2026-05-01,S1,Ann,3\n"
    branch = read_folder(base(tmp_path / "b", hours_worked=hours))
    assert [row.hours for row in branch.hours_worked] == [3]
    assert branch.warnings == ("hours_worked.csv, row 2: no stage, so that it is left out.",)
