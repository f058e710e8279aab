"""What is exported reads back as the same branch, and exports as the same bytes."""

import csv
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from store_cases import BASE, folder_with, now_in, take_in

from crewplan.intake import OwnTables, read_own_tables
from crewplan.intake.fields import fields_of
from crewplan.intake.grammar import marked, unmarked
from crewplan.intake.weather_reading import no_weather
from crewplan.model.limit_row import Limit
from crewplan.model.material_rows import Arrival, Item
from crewplan.model.people_rows import Person
from crewplan.model.settings import Settings
from crewplan.model.tables import TABLES
from crewplan.model.units import SUFFIXES, convert
from crewplan.model.work_rows import HoursWorked
from crewplan.running.demo import demo_folder
from crewplan.store.cells import columns_of
from crewplan.store.connecting import open_store
from crewplan.store.exporting import files_of, write_files
from crewplan.store.place import place_of


def _round(source: str, tables: Path, out: Path) -> dict[str, str]:
    """Import, export: the files' texts."""
    store = open_store(place_of(source), create=True)
    take_in(store, tables)
    files = files_of(now_in(store))
    write_files(files, out)
    return files


@pytest.mark.parametrize("tables", [demo_folder(), BASE], ids=["demo", "small"])
def test_export_import_export_gives_the_same_bytes(
    new_source: Callable[[], str], tmp_path: Path, tables: Path
) -> None:
    first = _round(new_source(), tables, tmp_path / "one")
    again = _round(new_source(), tmp_path / "one", tmp_path / "two")
    assert first == again
    assert {"branch.toml", "jobs.csv", "weather.csv"} <= first.keys()


def test_columns_stand_in_the_dictionarys_order(
    new_source: Callable[[], str], tmp_path: Path
) -> None:
    for name, text in _round(new_source(), BASE, tmp_path / "out").items():
        if name.endswith(".csv"):
            table = name.removesuffix(".csv")
            assert next(csv.reader(text.splitlines())) == list(columns_of(table))


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "'=", "''+"])
def test_a_cell_that_a_spreadsheet_would_run_is_neutralised_and_comes_back(
    new_source: Callable[[], str], tmp_path: Path, start: str
) -> None:
    note = f"{start}1+1"
    folder = folder_with(tmp_path / "b")
    jobs = (folder / "jobs.csv").read_text().replace("Invented One", marked(note))
    folder_with(folder, jobs=jobs)
    store = open_store(place_of(new_source()), create=True)
    take_in(store, folder)
    assert now_in(store).rows["jobs"][0].customer == note
    text = files_of(now_in(store))["jobs.csv"]
    cells = next(iter(csv.DictReader(text.splitlines())))
    assert cells["customer"] == f"'{note}"
    assert not cells["customer"].startswith(("=", "+", "-", "@"))


@given(st.text())
def test_the_mark_can_always_be_taken_off(text: str) -> None:
    assert unmarked(marked(text)) == text
    assert not marked(text).startswith(("=", "+", "-", "@", "\t", "\r"))


_WORDS = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Zs", "Zl", "Zp"], exclude_characters=";\ufeff"),
    min_size=1,
    max_size=12,
)
_DAYS = st.dates(date(1970, 1, 2), date(2199, 12, 30))


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


_PEOPLE = st.builds(
    Person,
    _WORDS,
    st.just("Blue"),
    st.sampled_from(["lead", "installer", "electrician", "trainee"]),
    _numbers(0, 1e6),
    _numbers(0.01, 3),
    st.text(st.sampled_from("+-0123456789 '=@")).map(str.strip),
)
_HOURS = st.builds(
    HoursWorked, _DAYS, st.just("S1"), _WORDS, _numbers(0.01, 24), note=st.just("") | _WORDS
)
_ITEMS = st.builds(Item, _WORDS, st.just(""), _numbers(0.001, 1e5), _numbers(0, 1e5))
_ARRIVALS = st.builds(Arrival, _WORDS, _numbers(0.001, 1e5), _DAYS, st.just("") | _WORDS)


@st.composite
def _limit(draw: st.DrawFn) -> Limit:
    unit = draw(st.sampled_from(["mps", "kmh", "mph", "kt", "fps"]))
    value = draw(st.decimals(1, 99, places=draw(st.integers(0, 6))).map(float))
    return Limit("lift", "gust", convert(value, unit, "mps"), SUFFIXES[unit].word, source="assumed")


_SETTINGS = st.builds(
    Settings,
    _WORDS,
    st.sampled_from(["America/Chicago", "Asia/Kolkata", "Europe/London", "UTC"]),
    _numbers(-90, 90),
    _numbers(-180, 180),
    units=st.sampled_from(["us", "metric"]),
    closed_on=st.lists(_DAYS, unique=True, max_size=3).map(tuple),
    shift_start=st.times(time(5), time(8)).map(lambda at: at.replace(second=0, microsecond=0)),
    requirements=st.dictionaries(
        st.sampled_from(["roof", "electrical"]),
        st.lists(_WORDS, unique=True, max_size=3).map(tuple),
    ),
)


def _by_key(rows: list[Any], name: str) -> tuple[Any, ...]:
    return tuple({getattr(row, name): row for row in rows}.values())


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(_PEOPLE, max_size=4),
    st.lists(_HOURS, max_size=4),
    st.lists(_ITEMS, max_size=3),
    st.lists(_ARRIVALS, max_size=3),
    st.lists(_limit(), max_size=1),
    _SETTINGS,
)
def test_any_branch_comes_back_value_for_value_and_byte_for_byte(
    tmp_path_factory: pytest.TempPathFactory,
    people: list[Person],
    hours: list[HoursWorked],
    items: list[Item],
    arrivals: list[Arrival],
    limits: list[Limit],
    chosen: Settings,
) -> None:
    small = read_own_tables(BASE)
    made = {
        "people": _by_key(people, "person"),
        "hours_worked": tuple(hours),
        "items": _by_key(items, "item"),
        "arrivals": tuple(arrivals),
        "limits": tuple(limits),
    }
    own = OwnTables(chosen, {**small.rows, **made}, small.weather)
    folder = tmp_path_factory.mktemp("made")
    files = files_of(own)
    write_files(files, folder / "one")
    read = read_own_tables(folder / "one")
    assert read.rows == own.rows
    assert read.settings == own.settings
    assert _round(str(folder), folder / "one", folder / "two") == files


@pytest.mark.parametrize("zone", ["America/Chicago", "Australia/Lord_Howe", "Asia/Kathmandu"])
def test_forecast_hours_come_back_over_both_clock_changes(tmp_path: Path, zone: str) -> None:
    here = ZoneInfo(zone)
    head = "valid_at,member,issued_at,wind_mps,place\n"
    starts = [datetime(2026, 3, 7, tzinfo=here), datetime(2026, 10, 3, tzinfo=here)]
    starts += [datetime(2026, 4, 4, tzinfo=here), datetime(2026, 10, 31, tzinfo=here)]
    hours = [
        (start.astimezone(ZoneInfo("UTC")) + timedelta(hours=n)).astimezone(here).isoformat()
        for start in starts
        for n in range(50)
    ]
    rows = "".join(f"{at},0,,1.25,\n" for at in hours)
    folder = folder_with(tmp_path / "b", weather=head + rows)
    toml = (folder / "branch.toml").read_text().replace("America/Chicago", zone)
    (folder / "branch.toml").write_text(toml)
    text = files_of(read_own_tables(folder))["weather.csv"]
    assert [line.split(",")[0] for line in text.splitlines()[1:]] == hours


def test_every_kind_of_column_can_be_written() -> None:
    """So that a new column in the model cannot break the export unseen."""
    from crewplan.store.cells import _WRITERS

    kinds = {field.kind for table in TABLES for field in fields_of(table.row)}
    assert kinds - {"time with UTC offset"} <= _WRITERS.keys()


def test_a_table_with_a_header_only_stays_there_and_one_that_is_not_there_stays_away(
    new_source: Callable[[], str], tmp_path: Path
) -> None:
    folder = folder_with(tmp_path / "b", stock="item,on_hand\n")
    files = _round(new_source(), folder, tmp_path / "out")
    assert files["stock.csv"] == "item,on_hand\n"
    assert "arrivals.csv" not in files


def test_no_weather_rows_are_a_header(tmp_path: Path) -> None:
    small = read_own_tables(BASE)
    own = OwnTables(small.settings, small.rows, {**small.weather, "weather_past": no_weather()})
    text = files_of(own)["weather_past.csv"]
    assert text == ",".join(columns_of("weather")) + "\n"
