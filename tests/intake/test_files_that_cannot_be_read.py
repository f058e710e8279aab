"""Whatever lies in a folder, people get sentences and never a traceback."""

from pathlib import Path

import pytest
from folders import base
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crewplan.intake import InputFaults, read_folder


def _sentences(path: Path) -> list[str]:
    with pytest.raises(InputFaults) as told:
        read_folder(path)
    return [fault.sentence() for fault in told.value.faults]


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    assert _sentences(tmp_path / "nowhere") == [
        "nowhere: it is not there; "
        "expected a folder of tables as CSV, or a workbook saved as .xlsx."
    ]


def test_a_file_that_is_no_workbook_in_place_of_a_folder(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("hello", encoding="utf-8")
    assert _sentences(file)[0].startswith("notes.txt: it is neither folder nor workbook;")


def test_a_folder_that_may_not_be_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def closed(_: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", closed)
    assert "it cannot be opened (Permission denied)" in _sentences(tmp_path)[0]


def test_an_empty_folder_names_the_settings_and_all_tables_that_must_be_there(
    tmp_path: Path,
) -> None:
    files = [sentence.partition(":")[0] for sentence in _sentences(tmp_path)]
    tables = ["people", "crews", "jobs", "planes", "stages", "requirements", "weather"]
    assert files == ["branch.toml", *(f"{table}.csv" for table in tables)]


def test_a_workbook_that_is_no_workbook(tmp_path: Path) -> None:
    folder = base(tmp_path / "branch")
    (folder / "tables.xlsx").write_bytes(b"not a workbook")
    assert _sentences(folder) == [
        "tables.xlsx: it cannot be read as a workbook; "
        "expected a workbook saved as .xlsx without a password."
    ]


def test_a_cell_larger_than_anybody_could_read(tmp_path: Path) -> None:
    crews = "crew,base_latitude,base_longitude\nBlue,46.8," + "9" * 200_000 + "\n"
    assert _sentences(base(tmp_path / "branch", crews=crews)) == [
        "crews.csv, row 2: a cell is larger than 131,072 characters; "
        "expected a cell that people can read."
    ]


def test_weather_that_is_not_utf8_names_the_row(tmp_path: Path) -> None:
    folder = base(tmp_path / "branch")
    weather = folder / "weather.csv"
    weather.write_bytes(weather.read_bytes().replace(b",62,0", b",6\xff2,0"))
    assert _sentences(folder) == [
        "weather.csv, row 2: it holds a byte that is not UTF-8; "
        "expected text saved as CSV in UTF-8."
    ]


def test_weather_with_a_cell_too_many_names_the_row(tmp_path: Path) -> None:
    folder = base(tmp_path / "branch")
    weather = folder / "weather.csv"
    weather.write_text(
        weather.read_text(encoding="utf-8").replace("8.5,0,12", "8,5,0,12"), encoding="utf-8"
    )
    assert _sentences(folder) == [
        "weather.csv, row 4: the row has 11 cells, the header 10; "
        'expected as many cells as columns, and " around a cell with a comma.'
    ]


def test_a_wrong_cell_after_an_empty_line_and_a_cell_of_two_lines_is_counted_like_a_spreadsheet(
    tmp_path: Path,
) -> None:
    crews = (
        'crew,base_latitude,base_longitude,equipment\n"Blue",46.8,-92.1,"a\nhoist"\n\nRed,x,1,\n'
    )
    people = "person,crew,role,cost_per_h\nAnn,Blue,lead,40\n"
    assert _sentences(base(tmp_path / "branch", crews=crews, people=people)) == [
        'crews.csv, row 4, column base_latitude: "x" is not a number from -90 to 90.'
    ]


def test_ten_thousand_bad_weather_cells_are_told_by_row_up_to_fifty_and_then_counted(
    tmp_path: Path,
) -> None:
    rows = "".join(f"2026-05-{d:02}T{h:02}:00Z,0,x\n" for d in range(1, 31) for h in range(24))
    told = _sentences(base(tmp_path / "branch", weather="valid_at,member,wind_mps\n" + rows))
    assert len(told) == 51
    assert told[-1].startswith(
        "weather.csv, row 52, column wind_mps: 670 further rows are wrong in the same way;"
    )


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    table=st.sampled_from(["stages", "jobs", "planes", "limits", "factors", "weather", "plan"]),
    junk=st.one_of(
        st.binary(max_size=80),
        st.text(alphabet=',;"\n\r\0 .-:0123456789aeTZ+é', max_size=120).map(str.encode),
    ),
)
def test_any_bytes_in_a_table_give_sentences_or_are_read(
    tmp_path_factory: pytest.TempPathFactory, table: str, junk: bytes
) -> None:
    folder = base(tmp_path_factory.mktemp("any") / "branch")
    path = folder / f"{table}.csv"
    header = path.read_bytes().split(b"\n")[0] if path.exists() else b"stage,crew,measure,at_most"
    path.write_bytes(header + b"\n" + junk)
    told: list[str] = []
    try:
        read_folder(folder)
    except InputFaults as faults:
        told = [fault.sentence() for fault in faults.faults]
    assert not any("\n" in sentence for sentence in told)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    key=st.sampled_from(["shift_h", "closed_on", "holidays", "requirements", "units", "workdays"]),
    value=st.sampled_from(
        ["1", "true", '"x"', "[]", "[1, 2]", "{}", "{ a = 1 }", "[[]]", "nan", "2026-05-04", "''"]
    ),
)
def test_any_kind_of_value_of_a_setting_gives_sentences_or_is_read(
    tmp_path_factory: pytest.TempPathFactory, key: str, value: str
) -> None:
    folder = base(tmp_path_factory.mktemp("any") / "branch")
    toml = folder / "branch.toml"
    lines = toml.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith(key)]
    toml.write_text("\n".join([*kept, f"{key} = {value}"]), encoding="utf-8")
    files = set()
    try:
        read_folder(folder)
    except InputFaults as told:
        files = {fault.file for fault in told.faults}
    assert files <= {"branch.toml"}
