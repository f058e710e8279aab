"""Cells become the model's values: lists, days, defaults, units."""

from datetime import date
from pathlib import Path

import pytest
from folders import FAULTS, base, settings_with

from crewplan.intake import InputFaults, read_folder
from crewplan.intake.grammar import Unreadable, number, yes_no
from crewplan.model.condition import parse_condition
from crewplan.model.units import convert, suffix_of

JOBS = "job,latitude,longitude,earliest_on,due_on,{}\nJ1,46.8,-92,2026-05-04,2026-05-08,{}\n"
JOB_HEADER = "job,latitude,longitude,earliest_on,due_on\n"
PLANES = "job,plane,rows,module,pitch_deg,covering,rafter_spacing_mm"


def _job(tmp_path: Path, column: str, cell: str):
    second = "J2,46.8,-92,2026-05-04,2026-05-08," + "\n"
    return read_folder(base(tmp_path / "b", jobs=JOBS.format(column, cell) + second)).jobs[0]


def test_customer_days_are_single_days_and_spans(tmp_path: Path) -> None:
    job = _job(tmp_path, "customer_days", " 2026-05-05 .. 2026-05-07 ;; 2026-05-11 ")
    assert job.customer_days == (
        (date(2026, 5, 5), date(2026, 5, 7)),
        (date(2026, 5, 11), date(2026, 5, 11)),
    )


def test_an_empty_cell_and_a_missing_column_take_the_default(tmp_path: Path) -> None:
    job = _job(tmp_path, "storeys", "")
    assert (job.storeys, job.lift_method, job.customer, job.price) == (1, "hoist", "", 0.0)


def test_rows_of_modules_keep_equal_numbers_and_lists_of_words_drop_them(tmp_path: Path) -> None:
    stages = "stage,job,kind,after,equipment\nS1,J1,roof,,boom; hoist;;boom \nS2,J2,roof,,\n"
    branch = read_folder(base(tmp_path / "b", stages=stages))
    assert branch.planes[0].rows == (7, 7, 5)
    assert branch.stages[0].equipment == ("boom", "hoist")


def test_a_byte_order_mark_crlf_and_capitals_in_the_header_change_nothing(tmp_path: Path) -> None:
    plain = base(tmp_path / "plain")
    marked = base(tmp_path / "marked")
    for path in marked.glob("*.csv"):
        text = path.read_text(encoding="utf-8")
        header, _, rest = text.partition("\n")
        text = header.upper() + "\r\n" + rest.replace("\n", "\r\n")
        path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    a, b = read_folder(plain), read_folder(marked)
    assert (a.jobs, a.stages, a.planes, a.warnings) == (b.jobs, b.stages, b.planes, b.warnings)
    assert a.weather.wind_mps.tolist() == b.weather.wind_mps.tolist()


def test_a_column_that_is_not_known_warns_and_names_the_nearest(tmp_path: Path) -> None:
    folder = base(tmp_path / "b", crews="crew,base_latitude,base_longitude,equipmant\nBlue,1,1,x\n")
    people = "person,crew,role,cost_per_h\nAnn,Blue,lead,40\n"
    (folder / "people.csv").write_text(people, encoding="utf-8")
    assert read_folder(folder).warnings == (
        "crews.csv, column equipmant: not known, and not read (did you mean equipment?).",
    )


def test_words_of_a_fixed_set_may_have_capitals_and_blanks(tmp_path: Path) -> None:
    hours = "day,stage,person,hours,cause\n2026-05-01,S1,Ann,2,Waiting for permit\n"
    branch = read_folder(base(tmp_path / "b", hours_worked=hours))
    assert branch.hours_worked[0].cause == "waiting_for_permit"


def test_pinned_is_yes_or_no_or_a_spreadsheets_true(tmp_path: Path) -> None:
    plan = "stage,crew,start_on,pinned\nS1,Blue,2026-05-04,TRUE\nS2,Blue,2026-05-06,\n"
    branch = read_folder(base(tmp_path / "b", plan=plan))
    assert [row.pinned for row in branch.plan] == [True, False]
    assert yes_no("No") is False


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("1,234", "thousands separator"),
        ("1 234.5", "thousands separator"),
        ("1'234", "thousands separator"),
        ("1_234", "thousands separator"),
        ("0,5", "decimal comma"),
        ("NaN", "not a finite number"),
        ("-inf", "not a finite number"),
        ("1e400", "too large"),
        ("1e15", "too large"),
        ("$12", ""),
        ("12 h", ""),
        ("٣", ""),
    ],
)
def test_texts_that_are_no_number_are_refused_with_what_is_special_about_them(
    text: str, said: str
) -> None:
    with pytest.raises(Unreadable) as bad:
        number(text)
    assert said in str(bad.value)
    assert bool(said) == bool(str(bad.value))


def test_inches_and_feet_become_the_tables_own_units(tmp_path: Path) -> None:
    planes = (
        "job,plane,rows,module,pitch_deg,covering,rafter_spacing_in,eave_height_ft,slope_m\n"
        "J1,south,7,M400,27,shingle,24,10,5.5\n"
    )
    plane = read_folder(base(tmp_path / "b", planes=planes)).planes[0]
    assert plane.rafter_spacing_mm == pytest.approx(24 * 25.4, abs=1e-9)  # inch: 25.4 mm exactly
    assert plane.eave_height_m == pytest.approx(3.048, abs=1e-9)  # foot: 0.3048 m exactly
    assert plane.slope_mm == 5500


def test_weather_in_miles_inches_and_fahrenheit_is_read_in_metric(tmp_path: Path) -> None:
    weather = "valid_at,member,wind_kt,gust_mph,rain_in,temperature_f\n"
    weather += "2026-05-04T12:00Z,0,20,26,0.01,39.2\n"
    table = read_folder(base(tmp_path / "b", weather=weather)).weather
    assert table.wind_mps[0] == pytest.approx(20 * 1852 / 3600)  # knot: 1852 m an hour
    assert table.gust_mps[0] == pytest.approx(11.62304)  # mile: 1609.344 m
    assert table.rain_mm[0] == pytest.approx(0.254)
    assert table.temperature_c[0] == 4.0  # (39.2 - 32) * 5 / 9, by hand


@pytest.mark.parametrize(
    ("value", "source", "target", "expected"),
    [
        (26, "mph", "mps", 11.62304),  # by hand: 26 * 0.44704
        (20, "kt", "mph", 23.015589),  # TRADE.md: 23.016
        (36, "kmh", "mps", 10.0),
        (10, "fps", "mps", 3.048),
        (32, "f", "c", 0.0),
        (273.15, "k", "c", 0.0),
        (51, "lb", "kg", 23.1332),  # TRADE.md: 23 kg (51 lb)
        (0.4, "kw", "w", 400.0),
        (90, "min", "h", 1.5),
        (1, "mi", "km", 1.609344),
        (5, "c", "f", 41.0),
    ],
)
def test_units_convert_by_their_definitions(
    value: float, source: str, target: str, expected: float
) -> None:
    assert convert(value, source, target) == pytest.approx(expected, rel=1e-5, abs=1e-9)


def test_a_unit_of_another_measure_does_not_convert() -> None:
    with pytest.raises(ValueError, match="mm cannot be converted to m/s"):
        convert(1, "mm", "mps")


def test_a_rate_has_no_unit_suffix() -> None:
    assert (suffix_of("cost_per_h"), suffix_of("hours"), suffix_of("wind_kmh")) == ("", "", "kmh")


def test_settings_take_other_units_too(tmp_path: Path) -> None:
    folder = base(tmp_path / "b", branch=settings_with("weather_reach_mi = 10\nbreak_min = 45"))
    settings = read_folder(folder).settings
    assert settings.weather_reach_km == pytest.approx(16.09344)
    assert settings.break_h == 0.75


def test_settings_read_days_times_tables_and_lists(tmp_path: Path) -> None:
    extra = (
        'closed_on = ["2026-05-25", 2026-07-03]\nshift_start = 06:30:00\n'
        'workdays = ["Mon", "sat"]\ncolour = "red"\n[requirements]\nroof = ["permit", "deposit"]\n'
    )
    branch = read_folder(base(tmp_path / "b", branch=settings_with(extra)))
    settings = branch.settings
    assert settings.closed_on == (date(2026, 5, 25), date(2026, 7, 3))
    assert settings.shift_start.isoformat() == "06:30:00"
    assert settings.workdays == ("mon", "sat")
    assert settings.requirements == {"roof": ("permit", "deposit")}
    assert branch.warnings == ("branch.toml, line 13, colour: not known, and not read.",)


def test_words_and_places_of_rows_all_count_and_pressure_and_torque_take_other_units(
    tmp_path: Path,
) -> None:
    planes = (
        "job,plane,rows,module,pitch_deg,covering,rafter_spacing_mm,row_orientations,row_left_mm,"
        "uplift_psf\nJ1,south,4;4;3,M400,20,tile,610,portrait;Portrait;landscape,0;0;600,20\n"
    )
    racking = "racking,gap_mm,clamp_torque_ftlb,staggered\nown,6,10,yes\n"
    branch = read_folder(base(tmp_path / "b", planes=planes, racking=racking))
    (plane,) = branch.planes
    assert plane.row_orientations == ("portrait", "portrait", "landscape")
    assert plane.row_left_mm == (0, 0, 600)
    # 20 lbf/ft2, 0.45359237 x 9.80665 / 0.3048^2 Pa each; 10 ft lbf, x 9.80665 x 0.3048 N m
    assert plane.uplift_pa == pytest.approx(957.605, abs=0.001)
    rails = {row.racking: row for row in branch.racking}
    assert (rails["own"].staggered, rails["standard_rail"].staggered) == (True, False)
    assert rails["own"].clamp_torque_nm == pytest.approx(13.558, abs=0.001)


def test_a_row_without_what_only_it_needs_is_left_out_with_a_warning(tmp_path: Path) -> None:
    arrivals = "item,quantity,expected_on\nM400,10,\nM400,12,2026-05-07\nrail,4,\n"
    branch = read_folder(base(tmp_path / "b", arrivals=arrivals))
    assert [row.quantity for row in branch.arrivals] == [12]
    assert branch.warnings == (
        "arrivals.csv, 2 rows, first in row 2: no expected_on, so that they are left out.",
    )


def test_due_before_earliest_and_a_job_without_stages_only_warn(tmp_path: Path) -> None:
    jobs = JOB_HEADER + "J1,46,-92,2026-05-04,2026-05-01\nJ2,46,-92,2026-05-04,2026-05-08\n"
    jobs += "J3,46,-92,2026-05-04,2026-05-08\n"
    assert read_folder(base(tmp_path / "b", jobs=jobs)).warnings == (
        'jobs.csv, row 2, column due_on: "2026-05-01" lies before earliest_on 2026-05-04.',
        'jobs.csv, row 4, column job: "J3" has no row in the table stages, '
        "so that nothing is planned for it.",
    )


def test_a_stage_may_come_after_a_stage_of_another_job(tmp_path: Path) -> None:
    stages = "stage,job,kind,after\nS1,J1,roof,\nS2,J2,roof,S1\n"
    assert read_folder(base(tmp_path / "b", stages=stages)).stages[1].after == ("S1",)


def test_weather_members_that_are_not_set_warn(tmp_path: Path) -> None:
    text = settings_with("").replace("weather_members = 2\n", "")
    assert read_folder(base(tmp_path / "b", branch=text)).warnings == (
        "branch.toml: weather_members is not set, so that a member missing from the whole "
        "forecast is not noticed.",
    )


def test_hours_of_somebody_who_has_left_are_kept_with_a_warning(tmp_path: Path) -> None:
    hours = "day,stage,person,hours\n2026-05-01,S1,Zoe,2\n2026-05-02,S1,Zoe,2\n"
    branch = read_folder(base(tmp_path / "b", hours_worked=hours))
    assert len(branch.hours_worked) == 2
    assert branch.warnings == (
        'hours_worked.csv, row 2, column person: "Zoe" stands in no row of the table people; '
        "it is kept.",
    )


def test_a_table_that_nobody_knows_warns_and_kept_former_plans_do_not(tmp_path: Path) -> None:
    folder = base(tmp_path / "b", stage="stage\nS1\n")
    (folder / "plan.20260501T000000Z.csv").write_text("anything", encoding="utf-8")
    assert read_folder(folder).warnings == (
        "stage.csv is no table that crewplan knows, and is not read.",
    )


def test_a_roof_stage_of_a_job_without_a_plane_only_warns(tmp_path: Path) -> None:
    planes = "job,plane,rows,module,pitch_deg,covering,rafter_spacing_mm\n"
    warnings = read_folder(base(tmp_path / "b", planes=planes)).warnings
    assert any("has no row in the table planes" in warning for warning in warnings)


def test_a_step_that_nobody_knows_warns_and_leaves_the_row_out_but_hours_worked_stay(
    tmp_path: Path,
) -> None:
    branch = read_folder(
        base(
            tmp_path / "b",
            rates="step,driver,hours_per_unit\ntidy_van,stage,1\nlift,modules,0.5\n",
            factors="step,condition,factor\npolish,storeys>=2,1.2\n",
            progress="day,stage,step,share_done\n2026-05-01,S1,dance,1\n",
            hours_worked="day,stage,person,hours,step\n2026-05-01,S1,Ada,3,dance\n",
        )
    )
    assert "tidy_van" not in {rate.step for rate in branch.rates}
    assert [rate.hours_per_unit for rate in branch.rates if rate.step == "lift"] == [0.5]
    assert "polish" not in {factor.step for factor in branch.factors}
    assert branch.progress == ()
    assert [row.hours for row in branch.hours_worked] == [3.0]
    assert (
        'rates.csv, row 2, column step: "tidy_van" stands in no row of the table steps, '
        "so that it is left out." in branch.warnings
    )
    assert (
        'hours_worked.csv, row 2, column step: "dance" stands in no row of the table steps; '
        "it is kept." in branch.warnings
    )


@pytest.mark.parametrize(
    ("said", "word"),
    [("rail length", "rail_m"), ("Days on site", "days"), ("storey", "storeys"), ("kw", "kw")],
)
def test_a_driver_may_be_said_as_people_say_it(tmp_path: Path, said: str, word: str) -> None:
    rates = f"step,driver,hours_per_unit\nlift,{said},0.5\n"
    branch = read_folder(base(tmp_path / "b", rates=rates))
    assert [rate.driver for rate in branch.rates if rate.step == "lift"] == [word]


@pytest.mark.parametrize(
    ("written", "meant"),
    [("covering = Tile", "tile"), ("Covering=TILE", "tile"), ("lift_method=Ladder hoist", "hoist")],
)
def test_a_condition_is_read_as_the_tables_words_are(
    tmp_path: Path, written: str, meant: str
) -> None:
    factors = f"step,condition,factor\nlift,{written},1.2\n"
    own = read_folder(base(tmp_path / "b", factors=factors)).factors[-1]
    assert meant in str(parse_condition(own.condition).value)


@pytest.mark.parametrize("suffix", ["kmh", "kph", "mph", "kt", "kn", "kts", "knots", "fps"])
def test_wind_may_be_written_in_any_unit_that_people_use(tmp_path: Path, suffix: str) -> None:
    weather = (FAULTS / "_base" / "weather.csv").read_text(encoding="utf-8")
    weather = weather.replace("gust_mps", f"gust_{suffix}").replace("wind_mps", f"wind_{suffix}")
    read = read_folder(base(tmp_path / "b", weather=weather)).weather
    exact = {"mph": 0.44704, "fps": 0.3048, "kmh": 1 / 3.6, "kph": 1 / 3.6}  # by definition
    assert read.wind_mps[0] == pytest.approx(4.1 * exact.get(suffix, 1852 / 3600))


def test_a_setting_in_two_units_is_a_fault(tmp_path: Path) -> None:
    text = settings_with("travel_kmh = 50\ntravel_mph = 30")
    with pytest.raises(InputFaults, match="travel_kmh holds the same measure; expected one of"):
        read_folder(base(tmp_path / "b", branch=text))
