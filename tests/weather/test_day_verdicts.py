"""The word for a day: windows, when it is void, how far and how old a forecast may be."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from builders import NOW
from weather_cases import DULUTH, HOUR, MONDAY_7, calm_rows, gate_branch

from crewplan.model.limit_row import Limit
from crewplan.weather import Site, day_verdicts, verdicts

DAY = date(2026, 5, 4)
CHICAGO = ZoneInfo("America/Chicago")


def _at(hour, minute=0):
    return datetime(2026, 5, 4, hour, minute, tzinfo=CHICAGO)


def _ask(rows, exposure="lift", now=NOW, day=DAY, site=None, **changes):
    branch = gate_branch(rows, **changes)
    return day_verdicts(branch, day, now, exposures=(exposure,), site=site)[0]


def _windy(*hours, rows=None, members=None, gust=14.0):
    """Calm rows, but too gusty to lift in these local hours, for some members or all."""
    rows = calm_rows() if rows is None else rows
    for row in rows:
        if row["valid_at"] in [_at(hour) for hour in hours] and (
            members is None or row["member"] in members
        ):
            row["gust_mps"] = gust
    return rows


def _spans(verdict):
    return [(window.start.hour, window.end.hour, window.p_go) for window in verdict.windows]


def test_a_calm_day_is_one_window_from_start_to_end_of_the_shift():
    verdict = _ask(calm_rows())
    assert (verdict.verdict, _spans(verdict)) == ("go", [(7, 16, 1.0)])
    assert verdict.hours[0].hour == _at(7)
    assert len(verdict.hours) == 9


def test_a_calm_gap_at_noon_in_a_windy_day_is_a_window():
    verdict = _ask(_windy(7, 8, 9, 10, 13, 14, 15))
    assert (verdict.verdict, _spans(verdict)) == ("go", [(11, 13, 1.0)])


def test_loose_go_hours_too_short_for_lift_and_making_safe_are_no_window():
    verdict = _ask(_windy(7, 8, 9, 10, 12, 13, 15))
    assert verdict.verdict == "no-go"
    assert not verdict.windows
    assert [hour.verdict for hour in verdict.hours].count("go") == 2
    assert "gust" in verdict.why


def test_a_window_needs_the_same_members_good_throughout():
    # each hour is bad in one other member of ten: 0.9 by hour, but 0.8 over any two hours
    rows = calm_rows()
    for hour in range(7, 16):
        _windy(hour, rows=rows, members={str(hour - 7)})
    verdict = _ask(rows)
    assert [hour.p_go for hour in verdict.hours] == [0.9] * 9
    assert [hour.verdict for hour in verdict.hours] == ["go"] * 9
    assert verdict.verdict == "no-go"
    assert not verdict.windows


def test_windows_do_not_overlap_and_the_longest_comes_first_in_the_choice():
    rows = _windy(7, 12, rows=_windy(8, members={"1"}))
    rows = _windy(13, rows=rows, members={"2"})
    assert _spans(_ask(rows)) == [(8, 12, 0.9), (13, 16, 0.9)]


def test_the_needed_length_lies_after_now():
    rows = _windy(7, 8, 11, 12, 13, 14, 15)
    assert _ask(rows, now=_at(9)).verdict == "unknown"  # forecast of the evening: 15 h old
    fresh = [row | {"issued_at": _at(6)} for row in rows]
    assert _spans(_ask(fresh, now=_at(9))) == [(9, 11, 1.0)]
    assert _ask(fresh, now=_at(9, 1)).verdict == "no-go"


def test_a_window_that_has_begun_starts_now():
    fresh = [row | {"issued_at": _at(6)} for row in calm_rows()]
    window = _ask(fresh, now=_at(9, 20)).windows[0]
    assert (window.start, window.end) == (_at(9, 20), _at(16))


def test_a_day_whose_shift_has_ended_is_never_go():
    fresh = [row | {"issued_at": _at(6)} for row in calm_rows()]
    for now in (_at(16), _at(20), _at(20) + timedelta(days=3)):
        verdict = _ask(fresh, now=now)
        assert verdict.verdict == "no-go"
        assert "nothing of the day's shift is left" in verdict.why


def test_the_shift_cuts_its_first_and_last_hour():
    verdict = _ask(
        calm_rows(first=MONDAY_7 - 3 * HOUR, hours=14),
        settings__shift_start=time(6, 30),
        settings__shift_h=3.0,
    )
    assert [hour.hour for hour in verdict.hours] == [_at(6), _at(7), _at(8), _at(9)]
    assert (verdict.windows[0].start, verdict.windows[0].end) == (_at(6, 30), _at(9, 30))


def test_a_job_may_need_a_longer_window_and_never_a_shorter_one():
    rows = _windy(7, 8, 12, 13, 14, 15)  # calm from 9 to 12
    for needs, verdict in ((2.5, "go"), (2.6, "no-go"), (0.1, "go")):
        site = Site(*DULUTH, job="J1", stage="S1", needs_h={"lift": needs})
        told = _ask(rows, site=site)
        assert told.verdict == verdict
        assert told.window_needed_h == max(2.0, needs + 0.5)
        assert (told.job, told.stage) == ("J1", "S1")


def test_a_verdict_is_void_when_its_oldest_issue_is_too_old():
    rows = calm_rows()
    rows[3] = rows[3] | {"issued_at": NOW - 2 * HOUR}  # 8 o'clock of member 0
    verdict = _ask(rows)
    assert verdict.void_after == NOW + 10 * HOUR
    assert verdict.age_h == 2.0
    assert verdict.asked_at == NOW


def test_the_hour_before_a_window_counts_for_its_age_too():
    rows = calm_rows()
    rows[1] = rows[1] | {"issued_at": NOW - 3 * HOUR}  # 6 o'clock: thunder and rain look back on it
    verdict = _ask(rows)
    assert (verdict.verdict, verdict.age_h) == ("go", 3.0)
    assert verdict.void_after == NOW + 9 * HOUR


def test_a_verdict_is_void_when_its_last_window_ends():
    fresh = [row | {"issued_at": _at(6)} for row in _windy(12, 13, 14, 15)]
    verdict = _ask(fresh, now=_at(7))
    assert verdict.void_after == _at(12)


def test_hours_outside_the_windows_do_not_make_a_go_void_earlier():
    rows = [row | {"issued_at": _at(6)} for row in calm_rows()]
    for row in rows:
        if row["valid_at"] < _at(8):
            row["issued_at"] = _at(6) - 13 * HOUR
    verdict = _ask(rows, now=_at(10))
    assert verdict.verdict == "go"
    assert verdict.void_after == _at(16)
    assert verdict.age_h == 4.0


def test_without_any_forecast_there_is_nothing_to_become_void():
    verdict = _ask([])
    assert (verdict.verdict, verdict.void_after, verdict.age_h) == ("unknown", None, None)
    assert (verdict.place, verdict.place_distance_km) == ("", None)


def test_a_forecast_is_fresh_to_the_second_of_its_age_limit():
    on_time = calm_rows(issued_at=NOW - 12 * HOUR)
    assert _ask(on_time).verdict == "go"
    assert _ask(on_time, now=NOW + timedelta(seconds=1)).verdict == "unknown"
    assert _ask(on_time, settings__weather_max_age_h=11.5).verdict == "unknown"


def test_a_forecast_issued_after_now_or_at_an_unknown_time_is_unknown():
    assert _ask(calm_rows(issued_at=NOW + timedelta(seconds=1))).verdict == "unknown"
    assert _ask(calm_rows(issued_at=None)).verdict == "unknown"


def test_beyond_the_forecast_the_gate_knows_nothing():
    assert _ask(calm_rows(), day=date(2026, 5, 8)).verdict == "unknown"


def test_a_day_is_no_go_only_if_no_unknown_hour_could_save_it():
    rows = _windy(*range(7, 14))
    for row in rows:
        if row["valid_at"] == _at(14) and row["member"] == "4":
            row["rain_mm"] = None
    assert _ask(rows).verdict == "unknown"  # 14 to 16 h could still be good
    assert _ask(_windy(15, rows=rows)).verdict == "no-go"


def test_a_missing_member_keeps_everything_unknown_but_not_what_is_bad_anyway():
    rows = _windy(7, 8)
    verdict = _ask(rows, settings__weather_members=11)
    assert [hour.verdict for hour in verdict.hours] == ["no-go"] * 2 + ["unknown"] * 7
    assert verdict.verdict == "unknown"
    assert verdict.hours[5].p_go == 10 / 11


def test_out_of_reach_roof_and_lift_are_unknown_and_the_ground_takes_the_nearest():
    north = Site(DULUTH[0] + 0.25, DULUTH[1])  # 27.8 km
    told = {
        exposure: _ask(calm_rows(place="lakeside"), exposure, site=north)
        for exposure in ("ground", "roof", "lift")
    }
    assert [told[exposure].verdict for exposure in told] == ["go", "unknown", "unknown"]
    assert told["ground"].place == "lakeside"
    assert told["lift"].place == ""
    assert told["lift"].place_distance_km == pytest.approx(27.8, abs=0.1)
    assert "28 km" in told["lift"].why
    wide = _ask(calm_rows(), site=north, settings__weather_reach_km=30.0)
    assert wide.verdict == "go"


def test_a_site_takes_its_nearest_place_even_where_that_place_has_no_hours_then():
    near = calm_rows(place="near", first=MONDAY_7 - 40 * HOUR)
    far = calm_rows(place="far", latitude=DULUTH[0] + 0.1)
    verdict = _ask(near + far)
    assert (verdict.place, verdict.verdict) == ("near", "unknown")
    assert _ask(near + far, site=Site(DULUTH[0] + 0.09, DULUTH[1])).place == "far"


def test_a_place_without_coordinates_is_near_no_site():
    rows = calm_rows(place="somewhere", latitude=float("nan"), longitude=float("nan"))
    for exposure in ("ground", "roof", "lift"):
        assert _ask(rows, exposure).verdict == "unknown"


def test_an_exposure_without_any_limit_is_unknown():
    gone = tuple(
        Limit("ground", measure, None, source="own")
        for measure in ("gust", "thunder", "heat_index")
    )
    verdict = _ask(calm_rows(), "ground", limits=gone)
    assert verdict.verdict == "unknown"
    assert {hour.verdict for hour in verdict.hours} == {"unknown"}
    assert "no limit" in verdict.why
    assert _ask(calm_rows(), "roof", limits=gone).verdict == "go"


def test_every_verdict_names_what_is_looser_or_taken_away_and_the_sources_obeyed():
    looser = Limit("lift", "gust", 13.0, source="letter from our insurer")
    gone = Limit("roof", "frost", None, source="flat roofs only")
    for exposure in ("ground", "roof", "lift"):
        text = "\n".join(_ask(calm_rows(), exposure, limits=(looser, gone)).sources)
        assert "letter from our insurer" in text
        assert "flat roofs only" in text
    assert "roofing trade" in text


def test_dark_hours_are_no_go_and_need_no_data():
    november = datetime(2026, 11, 25, 20, 0, tzinfo=UTC)
    verdict = _ask([], "roof", now=november, day=date(2026, 11, 26))
    # sunrise 07:28, sunset 16:23 at Duluth (computed by astral)
    assert [hour.verdict for hour in verdict.hours] == ["no-go"] + ["unknown"] * 8
    assert (verdict.hours[0].measure, verdict.hours[0].value) == ("light", 1.0)


def test_an_hour_names_the_measure_that_breaks_or_the_nearest_with_value_and_limit():
    hours = _ask(_windy(9)).hours
    assert (hours[2].measure, hours[2].value, hours[2].unit) == ("gust", 14.0, "m/s")
    assert hours[2].limit == pytest.approx(26 * 0.44704)
    assert (hours[3].measure, hours[3].value) == ("gust", 5.0)
    windy = _ask([row | {"wind_mps": 7.0, "gust_mps": 8.0} for row in calm_rows()]).hours
    assert (windy[3].measure, windy[3].value) == ("wind", 7.0)


def test_the_value_of_an_hour_is_the_one_that_the_asked_share_of_members_keeps_under():
    rows = [row | {"gust_mps": 5.0 + 0.5 * int(row["member"])} for row in calm_rows()]
    assert _ask(rows).hours[3].value == 9.0  # nine of ten; the highest is 9.5


def test_the_clock_set_by_hand_is_carried_on():
    branch = gate_branch(calm_rows())
    told = day_verdicts(branch, DAY, NOW, clock="set by hand")
    assert {verdict.clock for verdict in told} == {"set by hand"}


def test_many_sites_and_days_get_what_each_gets_alone():
    rows = _windy(9, rows=calm_rows(hours=40))
    branch = gate_branch(rows)
    sites = [Site(DULUTH[0] + north, DULUTH[1], f"J{north}") for north in (0.0, 0.1, 0.2, 0.4)]
    days = [DAY, DAY + timedelta(days=1)]
    together = verdicts(branch, days, NOW, sites)
    alone = [
        one for site in sites for day in days for one in day_verdicts(branch, day, NOW, site=site)
    ]
    assert together == alone


def test_one_forecast_far_from_all_limits_is_a_go_but_never_certain():
    verdict = _ask(calm_rows(1))
    assert verdict.verdict == "go"
    assert max(hour.p_go for hour in verdict.hours) == 0.99
    assert any("assumed error" in source for source in verdict.sources)
    near = _ask(calm_rows(1, gust_mps=10.5))
    assert near.verdict == "no-go"  # within the limit of 11.6, but not by enough


def test_no_sites_or_no_days_get_no_verdicts():
    branch = gate_branch(calm_rows())
    assert verdicts(branch, [DAY], NOW, []) == []
    assert verdicts(branch, [], NOW, [None]) == []


def test_verdicts_hold_plain_values_that_json_takes():
    verdict = _ask(calm_rows())
    hour = replace(verdict.hours[0], hour=None)
    json.dumps([hour.verdict, hour.measure, hour.value, hour.limit, hour.unit, hour.p_go])
    json.dumps([verdict.windows[0].p_go, verdict.place_distance_km, verdict.age_h])


def test_a_chance_short_of_certain_is_never_told_as_all():
    rows = calm_rows(250, first=MONDAY_7 - 2 * HOUR, hours=12)
    assert "(99%)" in _ask(_windy(8, rows=rows, members={"1"})).why


def test_no_assumed_error_opens_what_too_many_members_tell_as_shut():
    # 1 of 6 just over 26 mph (11.62 m/s): 0.83 are good; half of its draws would be good too
    rows = [row | {"gust_mps": 11.7} if row["member"] == "0" else row for row in calm_rows(6)]
    verdict = _ask(rows)
    assert {hour.verdict for hour in verdict.hours} == {"no-go"}
    assert max(hour.p_go for hour in verdict.hours) <= 5 / 6


def test_the_sentence_never_tells_less_than_the_hours_that_are_needed():
    for needs, told in ((3.75, "4.3 h"), (1.6, "2.1 h"), (2.35246, "2.9 h"), (0.5, "2 h")):
        verdict = _ask(calm_rows(), site=Site(*DULUTH, needs_h={"lift": needs}))
        assert told in verdict.why
