"""Weather as columns: keys, places, what cannot be, and what is not known."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from folders import base

from crewplan.intake import InputFaults, read_folder
from crewplan.model.branch import Branch
from crewplan.model.weather_table import NO_TIME_S

HEADER = "valid_at,member,wind_mps,gust_mps,rain_mm,humidity_pct,temperature_c\n"
HOUR = "2026-05-04T{:02}:00:00Z,0,"


def _read(tmp_path: Path, text: str, now: datetime | None = None) -> Branch:
    return read_folder(base(tmp_path / "b", weather=text), now)


def _values(tmp_path: Path, *rows: str) -> Branch:
    return _read(
        tmp_path, HEADER + "".join(HOUR.format(h) + row + "\n" for h, row in enumerate(rows))
    )


def test_a_table_without_rows_is_a_forecast_without_members(tmp_path: Path) -> None:
    weather = _read(tmp_path, "valid_at,member,gust_mps\n").weather
    assert (len(weather), weather.members, weather.places) == (0, (), ())


def test_columns_keep_the_tables_rows_and_times_are_utc_seconds(tmp_path: Path) -> None:
    weather = read_folder(base(tmp_path / "b")).weather
    assert weather.members == ("0", "1")
    assert weather.member_index.tolist() == [0, 1, 0, 1]
    first = int(datetime(2026, 5, 4, 12, tzinfo=UTC).timestamp())
    assert weather.valid_s.tolist() == [first, first, first + 3600, first + 3600]
    assert set(weather.issued_s.tolist()) == {int(datetime(2026, 5, 3, 23, tzinfo=UTC).timestamp())}
    assert weather.gust_mps.tolist() == [7.9, 8.2, 8.5, 8.8]


def test_empty_cells_are_unknown_and_hours_are_one(tmp_path: Path) -> None:
    weather = _read(tmp_path, "valid_at,issued_at,member,hours,wind_mps\n2026-05-04T12:00Z,,a,,\n")
    table = weather.weather
    assert np.isnan(table.wind_mps[0])
    assert np.isnan(table.gust_mps[0])
    assert table.issued_s[0] == NO_TIME_S
    assert table.hours[0] == 1.0


@pytest.mark.parametrize(
    ("row", "unknown", "told"),
    [
        ("60.1,61", {"wind_mps", "gust_mps"}, "a mean wind below 0 or over 60 m/s"),
        ("30,60.1", {"wind_mps", "gust_mps"}, "a gust below 0 or over 60 m/s"),
        ("-1,3", {"wind_mps", "gust_mps"}, "a mean wind below 0 or over 60 m/s"),
        ("8,7", {"wind_mps", "gust_mps"}, "a gust below the mean wind by more than rounding"),
        ("5.1,20.5", {"wind_mps", "gust_mps"}, "a gust over 4 times a mean wind above 5 m/s"),
        ("4,6,,100.5", {"wind_mps", "gust_mps", "humidity_pct"}, "a humidity below 0 or over"),
        ("4,6,-0.1", {"rain_mm"}, "a rain below 0 mm"),
        ("4,6,0,50,-999", {"temperature_c"}, "a temperature outside -90 to 60 degC"),
    ],
)
def test_what_cannot_be_warns_and_becomes_unknown(
    row: str, unknown: set[str], told: str, tmp_path: Path
) -> None:
    good = "4,6,0,50,10"
    filled = ",".join([*row.split(","), *good.split(",")[len(row.split(",")) :]])
    filled = ",".join(a or b for a, b in zip(filled.split(","), good.split(","), strict=True))
    branch = _values(tmp_path, good, filled)
    columns = HEADER.strip().split(",")[2:]
    gone = {name for name in columns if np.isnan(getattr(branch.weather, name)[1])}
    assert gone == unknown
    assert not any(np.isnan(getattr(branch.weather, name)[0]) for name in columns)
    assert any(told in warning and "row 3" in warning for warning in branch.warnings)


@pytest.mark.parametrize("row", ["60,60", "10,9.5", "5,25", "5.1,20.4", "0,0", "4,6,0,100"])
def test_what_is_only_unusual_stays(row: str, tmp_path: Path) -> None:
    branch = _values(tmp_path, row)
    assert branch.warnings == ()
    assert not np.isnan(branch.weather.gust_mps[0])


def test_one_sentence_counts_all_rows_of_a_kind(tmp_path: Path) -> None:
    branch = _values(tmp_path, "4,6", "9,80", "9,81", "9,82")
    assert branch.warnings == (
        "weather.csv, 3 rows, first in row 3: a gust below 0 or over 60 m/s cannot be; "
        "wind and gust are taken as unknown.",
        "weather.csv, 3 rows, first in row 3: a gust over 4 times a mean wind above 5 m/s "
        "cannot be; wind and gust are taken as unknown.",
    )


def test_a_place_has_the_coordinates_of_any_of_its_rows_or_the_branchs(tmp_path: Path) -> None:
    text = (
        "valid_at,member,place,latitude,longitude\n2026-05-04T12:00Z,0,Hill,,\n"
        "2026-05-04T12:00Z,0,,,\n2026-05-04T13:00Z,0,Hill,46.9,-92\n2026-05-04T12:00Z,0,Lake,,\n"
    )
    branch = _read(tmp_path, text)
    hill, own, lake = branch.weather.places
    assert (hill.place, hill.latitude, hill.longitude) == ("Hill", 46.9, -92.0)
    assert (own.place, own.latitude, own.longitude) == ("", 46.8, -92.1)
    assert np.isnan(lake.latitude)
    assert branch.warnings == (
        'weather.csv, row 5, column place: "Lake" has no latitude and longitude in any row, '
        "so that no site is near it.",
    )


def test_the_same_hour_twice_is_met_across_offsets_and_far_apart_rows(tmp_path: Path) -> None:
    text = "valid_at,member\n2026-05-04T12:00Z,0\n2026-05-04T14:00Z,0\n2026-05-04T07:00-05:00,0\n"
    with pytest.raises(InputFaults) as told:
        _read(tmp_path, text)
    assert str(told.value) == (
        'weather.csv, row 4, column valid_at: "2026-05-04T07:00-05:00" of member 0 stands already '
        "in row 2; expected each place, time and member once."
    )


def test_intervals_that_touch_do_not_overlap_also_in_another_order_of_rows(tmp_path: Path) -> None:
    text = "valid_at,member,hours\n2026-05-04T15:00Z,0,1\n2026-05-04T12:00Z,0,3\n"
    assert len(_read(tmp_path, text).weather) == 2


def test_past_weather_has_no_member_and_its_own_key(tmp_path: Path) -> None:
    past = "valid_at,wind_mps\n2026-05-01T12:00Z,4\n2026-05-01T13:00Z,5\n"
    table = read_folder(base(tmp_path / "b", weather_past=past)).weather_past
    assert table.members == ("",)
    twice = "valid_at,wind_mps\n2026-05-01T12:00Z,4\n2026-05-01T12:00Z,5\n"
    with pytest.raises(InputFaults, match=r"weather_past\.csv, row 3"):
        read_folder(base(tmp_path / "c", weather_past=twice))


def test_records_that_lie_after_now_warn(tmp_path: Path) -> None:
    hours = "day,stage,person,hours\n2026-05-09,S1,Ann,2\n"
    folder = base(tmp_path / "b", hours_worked=hours)
    now = datetime(2026, 5, 3, 12, tzinfo=UTC)
    assert read_folder(folder, now).warnings == (
        "hours_worked.csv, row 2, column day: a day after today, 2026-05-03; rows like it: 1; "
        "no plan counts them yet.",
        "weather: 4 rows were issued after now, and taken as unknown.",
    )


def test_a_delivery_that_was_due_and_is_not_booked_in_is_named_and_kept(tmp_path: Path) -> None:
    arrivals = (
        "item,quantity,expected_on,supplier,promised_on,arrived_on\n"
        "rail,8,2026-05-01,Yard,,\nclamp,4,2026-05-01,Yard,,2026-05-02\n"
        "hook,2,2026-05-03,Yard,,\nsplice,2,2026-05-02,Yard,,2026-05-09\n"
    )
    folder = base(tmp_path / "b", arrivals=arrivals)
    branch = read_folder(folder, datetime(2026, 5, 3, 23, tzinfo=UTC))
    assert branch.warnings[:2] == (
        'arrivals.csv, row 2, column expected_on: "2026-05-01" has passed, and rail is not booked '
        "in: ask the supplier; it counts as on its way, never as in stock.",
        'arrivals.csv, row 5, column arrived_on: "2026-05-09" is a day after today, 2026-05-03; '
        "until then it is on its way.",
    )
    assert [row.item for row in branch.arrivals] == ["rail", "clamp", "hook", "splice"]


def test_a_grant_of_a_day_to_come_is_asked_about(tmp_path: Path) -> None:
    rows = "job,kind,state,granted_on\nJ1,permit,granted,2026-05-09\nJ1,survey,granted,2026-05-03\n"
    folder = base(tmp_path / "b", requirements=rows)
    branch = read_folder(folder, datetime(2026, 5, 3, 23, tzinfo=UTC))
    assert branch.warnings[0] == (
        'requirements.csv, row 2, column granted_on: "2026-05-09" is a day after today, '
        "2026-05-03; it counts as in hand from that day on: was it granted?"
    )
    assert not any("row 3" in warning for warning in branch.warnings)


def test_a_large_table_is_read_whole_across_pieces(tmp_path: Path) -> None:
    start = np.datetime64("2026-05-04T00:00:00")
    times = [f"{start + np.timedelta64(h, 'h')}Z" for h in range(2100)]
    rows = [
        f"{time},{member},{h % 20},{h % 20 + 5}\n"
        for h, time in enumerate(times)
        for member in range(100)
    ]
    weather = _read(tmp_path, "valid_at,member,wind_mps,gust_mps\n" + "".join(rows)).weather
    assert len(weather) == 210_000
    assert weather.members == tuple(map(str, range(100)))
    assert weather.wind_mps[-1] == 2099 % 20
    assert (weather.valid_s[-1] - weather.valid_s[0]) / 3600 == 2099
