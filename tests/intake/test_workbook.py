"""A workbook with sheets of the tables' names is read like the folder of CSV."""

from dataclasses import fields
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

import numpy as np
import openpyxl
import pytest
from folders import base, to_workbook

from crewplan.intake import InputFaults, read_folder
from crewplan.model.weather_table import WeatherTable


def _same(a: Any, b: Any) -> bool:
    if isinstance(a, WeatherTable):
        return all(_same(getattr(a, f.name), getattr(b, f.name)) for f in fields(a))
    if isinstance(a, np.ndarray):
        return np.array_equal(a, b, equal_nan=a.dtype == np.float64)
    return bool(a == b)


def _full(to: Path) -> Path:
    plan = "stage,part,crew,start_on,start_half,half_days,pinned\nS1,1,Blue,2026-05-04,am,2,yes\n"
    limits = "exposure,measure,at_most,unit,source\nlift,gust,22,mph,assumed\n"
    return base(to, plan=plan, limits=limits)


def test_a_workbook_gives_the_same_branch_as_the_folder(tmp_path: Path) -> None:
    plain = read_folder(_full(tmp_path / "plain"))
    folder = _full(tmp_path / "book")
    book = to_workbook(folder)
    for path in (folder, book):
        branch = read_folder(path)
        different = [
            f.name
            for f in fields(branch)
            if not _same(getattr(plain, f.name), getattr(branch, f.name))
        ]
        assert different == []


def test_cells_of_the_workbooks_own_types_are_read(tmp_path: Path) -> None:
    folder = _full(tmp_path / "book")
    path = to_workbook(folder)
    book = openpyxl.load_workbook(path)
    book["Plan"]["G2"] = True
    book["Plan"]["D2"] = datetime.combine(date(2026, 5, 4), time())
    book["Jobs"]["B2"] = 5550100
    book["Planes"]["D3"] = 7
    book.save(path)
    branch = read_folder(folder)
    assert branch.plan[0].pinned is True
    assert branch.plan[0].start_on == date(2026, 5, 4)
    assert branch.jobs[0].customer == "5550100"
    assert branch.planes[1].rows == (7,)


def _sentences(path: Path) -> list[str]:
    with pytest.raises(InputFaults) as told:
        read_folder(path)
    return [fault.sentence() for fault in told.value.faults]


def test_a_table_as_csv_and_as_sheet_is_a_fault(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    crews = (folder / "crews.csv").read_text(encoding="utf-8")
    to_workbook(folder)
    (folder / "crews.csv").write_text(crews, encoding="utf-8")
    assert _sentences(folder) == [
        "crews.csv: the table stands in tables.xlsx, sheet Crews too; expected it in one place."
    ]


def test_a_table_beside_the_workbook_is_read_with_it(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    to_workbook(folder, keep=("weather",))
    assert len(read_folder(folder / "tables.xlsx").weather) == 4


def test_a_fault_names_workbook_sheet_and_row(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    path = to_workbook(folder)
    book = openpyxl.load_workbook(path)
    book["Stages"]["C3"] = "rof"
    del book["People"]
    book.save(path)
    assert _sentences(folder) == [
        "tables.xlsx, sheet people: it is not there; expected a table: who works on site.",
        'tables.xlsx, sheet Stages, row 3, column kind: "rof" is not one of roof, electrical, '
        "inspection, commissioning, return.",
    ]


def test_a_time_cell_without_offset_is_refused(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    path = to_workbook(folder)
    book = openpyxl.load_workbook(path)
    book["Weather"]["A2"] = datetime.combine(date(2026, 5, 4), time(7))
    book.save(path)
    assert _sentences(folder) == [
        'tables.xlsx, sheet Weather, row 2, column valid_at: "2026-05-04T07:00:00" has no UTC '
        "offset; expected a time with its UTC offset, written as 2026-05-04T07:00:00-05:00."
    ]


def test_a_formula_without_its_value_and_an_error_are_told_beside_all_other_faults(
    tmp_path: Path,
) -> None:
    folder = base(tmp_path / "b")
    path = to_workbook(folder)
    book = openpyxl.load_workbook(path)
    book["Crews"]["B2"] = "=40+6"
    book["Crews"]["C3"] = "#REF!"
    book["Crews"]["B3"] = "north"
    book["Weather"]["F2"] = "=1/0"
    book.save(path)
    wish = "expected a value, or a formula whose value was saved with the workbook."
    assert _sentences(folder) == [
        "tables.xlsx, sheet Crews, row 2, column base_latitude: "
        f"the formula =40+6 has no saved value; {wish}",
        'tables.xlsx, sheet Crews, row 3, column base_latitude: "north" is not a number '
        "from -90 to 90.",
        "tables.xlsx, sheet Crews, row 3, column base_longitude: "
        f'the cell holds the error "#REF!"; {wish}',
        "tables.xlsx, sheet Weather, row 2, column gust_mps: "
        f"the formula =1/0 has no saved value; {wish}",
    ]


def test_two_workbooks_in_a_folder_are_a_fault_and_an_open_ones_mark_is_none(
    tmp_path: Path,
) -> None:
    folder = base(tmp_path / "b")
    path = to_workbook(folder)
    (folder / "~$tables.xlsx").write_bytes(b"open")
    assert read_folder(folder).jobs
    (folder / "tables_old.xlsx").write_bytes(path.read_bytes())
    assert _sentences(folder) == [
        "tables_old.xlsx: tables.xlsx stands beside it; expected one workbook."
    ]


def test_a_sheet_that_is_no_table_warns(tmp_path: Path) -> None:
    folder = base(tmp_path / "b")
    path = to_workbook(folder)
    book = openpyxl.load_workbook(path)
    book.create_sheet("Notes")["A1"] = "remember"
    book.save(path)
    assert read_folder(folder).warnings == (
        "tables.xlsx, sheet Notes is no table that crewplan knows.",
    )
