"""What an hour takes from intervals of other lengths and offsets."""

from datetime import date, timedelta

import pytest
from builders import NOW
from weather_cases import CALM, HOUR, MONDAY_7, calm_rows, gate_branch

from crewplan.model.limit_row import Limit
from crewplan.weather import day_verdicts

DAY = date(2026, 5, 4)
QUARTER = timedelta(minutes=15)


def _words(rows, exposure="roof", **changes):
    verdict = day_verdicts(gate_branch(rows, **changes), DAY, NOW, exposures=(exposure,))[0]
    return [hour.verdict for hour in verdict.hours]


def _long_rows(hours, *, first=MONDAY_7 - 3 * HOUR, count=5, **changes):
    return [
        CALM
        | {"valid_at": first + at * hours * HOUR, "hours": hours, "member": str(member)}
        | {"issued_at": NOW}
        | (changes if at == 2 else {})
        for member in range(10)
        for at in range(count)
    ]


def test_the_rain_of_a_long_interval_counts_whole_in_each_of_its_hours():
    # third interval of three hours: 10 to 13 h; 0.3 mm in it shuts all three, and 13 h is wet
    words = _words(_long_rows(3.0, rain_mm=0.3))
    assert words == ["go"] * 3 + ["no-go"] * 4 + ["go"] * 2


def test_rain_of_short_intervals_adds_up_in_their_hour():
    rows = [
        row | {"valid_at": row["valid_at"] + at * QUARTER, "hours": 0.25, "rain_mm": 0.0}
        for row in calm_rows()
        for at in range(4)
    ]
    for row in rows:
        if MONDAY_7 + 3 * HOUR <= row["valid_at"] < MONDAY_7 + 4 * HOUR:
            row["rain_mm"] = 0.07  # 0.28 mm in the hour, each quarter alone within the limit
    assert _words(rows) == ["go"] * 3 + ["no-go"] * 2 + ["go"] * 4


def test_the_worst_of_the_intervals_that_touch_an_hour_counts():
    half = timedelta(minutes=30)
    rows = [row | {"valid_at": row["valid_at"] + half} for row in calm_rows()]
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 2 * HOUR + half:
            row["gust_mps"] = 16.0
    assert _words(rows) == ["go"] * 2 + ["no-go"] * 2 + ["go"] * 5


def test_an_hour_that_intervals_cover_only_in_part_is_unknown():
    rows = calm_rows()
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 4 * HOUR and row["member"] == "3":
            row["hours"] = 0.75
    words = _words(rows, "ground")
    assert words[4:6] == ["unknown", "unknown"]  # thunder looks an hour back
    assert words.count("go") == 7


def test_what_is_known_to_break_a_limit_makes_a_part_covered_hour_a_no_go():
    rows = calm_rows()
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 4 * HOUR:
            row |= {"hours": 0.5, "gust_mps": 25.0}
    assert _words(rows, "ground")[4] == "no-go"


def test_thunder_shuts_its_hour_and_the_next():
    rows = calm_rows()
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 2 * HOUR:
            row["thunder"] = 0.2
    for exposure in ("ground", "roof", "lift"):
        assert _words(rows, exposure) == ["go"] * 2 + ["no-go"] * 2 + ["go"] * 5


def test_a_wet_roof_looks_back_its_hours_and_no_further():
    rows = calm_rows(first=MONDAY_7 - 4 * HOUR, hours=14)
    for row in rows:
        if row["valid_at"] == MONDAY_7 + HOUR:
            row["rain_mm"] = 0.6
    wet = Limit("roof", "wet", 3.0, source="own")
    assert _words(rows, limits=(wet,)) == ["go"] + ["no-go"] * 4 + ["go"] * 4
    wet = Limit("roof", "wet", 1.5, source="own")  # rounded up: two hours
    assert _words(rows, limits=(wet,)) == ["go"] + ["no-go"] * 3 + ["go"] * 5


def test_the_first_hour_of_a_table_is_unknown_since_the_hour_before_is_not_known():
    rows = calm_rows(first=MONDAY_7)
    for exposure in ("ground", "roof", "lift"):
        assert _words(rows, exposure)[:2] == ["unknown", "go"]


def test_a_looser_limit_on_rain_does_not_let_wet_count_less_rain():
    rows = calm_rows()
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 2 * HOUR:
            row["rain_mm"] = 0.6
    loose = Limit("roof", "rain", 2.0, source="own")
    assert _words(rows, limits=(loose,)) == ["go"] * 2 + ["no-go"] * 2 + ["go"] * 5


def test_a_stricter_limit_on_rain_makes_wet_stricter_too():
    rows = calm_rows()
    for row in rows:
        if row["valid_at"] == MONDAY_7 + 2 * HOUR:
            row["rain_mm"] = 0.15
    strict = Limit("roof", "rain", 0.1, source="own")
    assert _words(rows) == ["go"] * 9
    assert _words(rows, limits=(strict,)) == ["go"] * 2 + ["no-go"] * 2 + ["go"] * 5


@pytest.mark.parametrize(("celsius", "shut"), [(3.9, 2), (4.0, 0), (-11.0, 9)])
def test_frost_shuts_until_two_hours_after_sunrise_and_deep_cold_all_day(celsius, shut):
    # sunrise on 4 May at Duluth is 05:44 (computed by astral): 7 o'clock begins inside two hours
    words = _words(calm_rows(temperature_c=celsius))
    expected = {2: ["no-go"] + ["go"] * 8, 0: ["go"] * 9, 9: ["no-go"] * 9}[shut]
    assert words == expected
    assert _words(calm_rows(temperature_c=celsius), "ground") == ["go"] * 9


def test_heat_is_a_caution_and_stops_nothing():
    rows = calm_rows(temperature_c=31.0, humidity_pct=60.0)
    verdict = day_verdicts(gate_branch(rows), DAY, NOW, exposures=("roof",))[0]
    assert verdict.verdict == "go"
    assert all("water, shade, breaks" in hour.cautions[0] for hour in verdict.hours)
    calm = day_verdicts(gate_branch(calm_rows()), DAY, NOW, exposures=("roof",))[0]
    assert not any(hour.cautions for hour in calm.hours)


def test_the_heat_caution_needs_humidity_as_a_stop_would():
    rows = calm_rows()
    rows[5]["humidity_pct"] = None
    hours = day_verdicts(gate_branch(rows), DAY, NOW, exposures=("lift",))[0].hours
    assert (hours[3].verdict, hours[3].measure, hours[3].value) == ("unknown", "heat_index", None)
