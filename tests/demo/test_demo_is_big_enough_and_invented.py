"""Sizes that the demo was asked to have, and that it says of itself that it is made up."""

import hashlib
import subprocess
import sys
import tomllib
from dataclasses import fields
from datetime import date
from pathlib import Path

import pytest
from demo_tables import FOLDER, HORIZON, readme, rows

from crewplan.model.tables import TABLES

LEARNED = {"forecast_errors"}
"""Written by `crewplan weather --learn` from a branch's own record, which nobody can invent."""


@pytest.mark.parametrize(
    "table", [one for one in TABLES if one.name not in LEARNED], ids=lambda table: table.name
)
def test_every_table_of_the_dictionary_is_there_with_its_own_columns(table):
    assert rows(table.name)
    assert set(rows(table.name)[0]) == {field.name for field in fields(table.row)}


@pytest.mark.parametrize(
    ("table", "least"),
    [("crews", 6), ("people", 22), ("jobs", 45), ("stages", 70), ("lead_times", 150)],
)
def test_the_company_is_as_big_as_was_asked(table, least):
    assert len(rows(table)) >= least


def test_every_crew_has_a_lead_and_some_have_two():
    leads = [row["crew"] for row in rows("people") if row["role"] == "lead"]
    assert set(leads) == {row["crew"] for row in rows("crews")}
    assert len(leads) > len(set(leads))


def test_prices_lie_between_12_and_45_thousand_where_there_is_a_roof_to_cover():
    roofs = {row["job"] for row in rows("stages") if row["kind"] == "roof"}
    prices = [float(row["price"]) for row in rows("jobs") if row["job"] in roofs]
    assert min(prices) >= 12_000
    assert max(prices) <= 45_000


def test_the_forecast_has_14_days_of_hours_by_21_members_for_each_place():
    places = {row["place"] for row in rows("weather")}
    for place in places:
        keys = {
            (row["valid_at"], row["member"]) for row in rows("weather") if row["place"] == place
        }
        assert len(keys) == 14 * 24 * 21
        assert len({member for _, member in keys}) == 21
        days = {valid_at[:10] for valid_at, _ in keys}
        assert set(HORIZON) <= days


def test_gusts_are_1_3_to_1_8_times_the_mean_but_for_rounding():
    for row in rows("weather"):
        wind, gust = float(row["wind_mps"]), float(row["gust_mps"])
        assert 1.3 * wind - 0.12 <= gust <= 1.8 * wind + 0.12


def test_past_weather_covers_45_days_before_and_the_same_season_of_the_former_year():
    days = {row["valid_at"][:10] for row in rows("weather_past")}
    assert len([day for day in days if "2026-03-19" <= day <= "2026-05-02"]) == 45
    assert len([day for day in days if day.startswith("2025")]) == 45
    assert not any(row["member"] or row["issued_at"] for row in rows("weather_past"))


def test_hours_worked_span_four_weeks_and_five_causes_of_lost_hours():
    days = [date.fromisoformat(row["day"]) for row in rows("hours_worked")]
    assert (max(days) - min(days)).days >= 25
    assert len({row["cause"] for row in rows("hours_worked")} - {""}) >= 5


def test_nobody_works_longer_than_a_shift_in_a_day():
    worked: dict[tuple[str, str], float] = {}
    for row in rows("hours_worked"):
        key = (row["day"], row["person"])
        worked[key] = worked.get(key, 0) + float(row["hours"])
    assert max(worked.values()) <= 8.55  # 9 h less half an hour of break; rounding of parts


def test_progress_never_falls_and_three_roofs_are_half_done():
    latest: dict[tuple[str, str], float] = {}
    for row in sorted(rows("progress"), key=lambda row: row["day"]):
        key = (row["stage"], row["step"])
        assert float(row["share_done"]) >= latest.get(key, 0)
        latest[key] = float(row["share_done"])
    roofs = {stage for stage, _ in latest if stage.endswith("-roof")}
    finished = {stage for stage in roofs if latest.get((stage, "clear_up")) == 1}
    assert len(roofs - finished) == 3
    assert len(finished) == 9


def test_past_lead_times_name_three_authorities_and_two_utilities_and_some_still_wait():
    permits = {row["authority"] for row in rows("lead_times") if row["kind"] == "permit"}
    assert permits == {row["authority"] for row in rows("authorities")}
    assert len({row["authority"] for row in rows("lead_times")} - permits) == 2
    assert any(not row["granted_on"] for row in rows("lead_times"))


def test_the_folder_says_that_all_of_it_is_invented():
    settings = tomllib.loads((FOLDER / "branch.toml").read_text(encoding="utf-8"))
    assert settings["invented"] is True
    assert settings["weather_members"] == 21
    assert settings["demo"]["now"] == "2026-05-03T18:00:00-05:00"
    assert "Everything in this folder is invented" in readme()


def test_telephone_numbers_are_of_the_kind_kept_free_for_made_up_people():
    numbers = [row["phone"] for table in ("people", "jobs") for row in rows(table)]
    assert all(number.startswith("555-01") and len(number) == 8 for number in numbers)
    assert len(set(numbers)) == len(numbers)


def test_nobody_on_the_staff_shares_a_name_with_a_customer():
    staff = {row["person"] for row in rows("people")}
    assert not staff & {row["customer"] for row in rows("jobs")}


def test_every_address_lies_in_one_of_the_forecasts_places():
    places = {row["place"] for row in rows("weather")}
    assert {row["address"].split(", ")[-1] for row in rows("jobs")} == places


def _digests(folder: Path) -> dict[str, str]:
    return {
        path.name: hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()
        for path in sorted(folder.glob("*.csv"))
        if not path.name.startswith("plan.")
    }


def test_the_script_writes_the_same_bytes_again(tmp_path):
    script = FOLDER / "make_demo.py"
    subprocess.run([sys.executable, "-B", str(script), str(tmp_path)], check=True)
    assert _digests(tmp_path) == _digests(FOLDER)
    assert (tmp_path / "plan.csv").exists()
