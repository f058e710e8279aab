"""The evening note tells what the verdicts say, in a few lines, and never more."""

from dataclasses import replace
from datetime import date, time

import pytest
from board_views import stage_hours
from builders import NOW, job, stage
from builders import settings as branch_settings
from weather_cases import calm_rows, gate_branch

from crewplan.model.next_early import NextEarly
from crewplan.publishing.early_words import worth_asking
from crewplan.publishing.evening_note import evening_note
from crewplan.publishing.evening_text import evening_cells, evening_json, evening_text
from crewplan.weather import day_verdicts

DAY, TUESDAY = date(2026, 5, 4), date(2026, 5, 5)
METRIC = branch_settings(units="metric", shift_start=time(7))


def _note(crew="Alder", hours=None, rows=None, members=10, early=None, **changes):
    rows = calm_rows(members, **changes) if rows is None else rows
    told = day_verdicts(gate_branch(rows), DAY, NOW)
    return evening_note(METRIC, crew, told, hours, early=early)


def _about(note, about):
    return [text for name, text in note.lines if name == about]


def test_a_calm_day_tells_the_window_the_hour_to_be_down_and_what_stands_nearest():
    note = _note(gust_mps=9.0, wind_mps=6.0)
    assert _about(note, "lift") == ["Lift from 07:00 to 16:00 (100%), and not outside."]
    assert _about(note, "off the roof") == [
        "Not up before 07:00; off the roof, made safe, by 16:00."
    ]
    [change] = _about(note, "what would change it")
    assert change.startswith("Lift: mean wind over 7.6 m/s (nearest: 6 m/s at 07:00)")
    assert "shuts it for 0.5 h" in change
    assert note.all_go


def test_a_gale_tells_that_nobody_lifts_and_how_much_the_wind_would_have_to_give():
    rows = calm_rows(10, wind_mps=9.0, gust_mps=13.0)
    note = _note(rows=rows)
    assert _about(note, "lift")[0].startswith("No lift: no 2 h in a row within limits are left")
    # roof limits of 10.3 and 15.6 m/s hold, those of a lift, 7.6 and 11.6, do not
    assert _about(note, "off the roof")[0].startswith("Not up before 07:00")
    assert _about(note, "what would change it")[0] == (
        "Lift: mean wind at most 7.6 m/s (at 07:00 it is 9 m/s; 9 hours)."
    )
    assert not note.all_go


def test_a_break_between_two_windows_is_told_with_both_hours_to_be_down():
    rows = calm_rows(10)
    for row in rows:
        if row["valid_at"].hour == 16:  # eleven o'clock in Chicago
            row["rain_mm"] = 2.0
    [off] = _about(_note(rows=rows), "off the roof")
    # rain at 11 h, and a wet hour after it
    assert off == (
        "Not up before 07:00; off the roof, made safe, by 11:00; up again from 13:00 to 16:00."
    )


def _early(kind="roof"):
    due = job("J2", due_on=date(2026, 5, 1), address="4 Elm St")
    return NextEarly("Alder", "S1", stage("S2", job="J2", kind=kind), due, TUESDAY, kind == "roof")


def test_a_crew_that_is_done_early_is_told_what_to_ask_for():
    assert _about(_note(early=_early()), "done early") == [
        "Roof work S2 (job J2, 4 Elm St) is yours on Tue 5 May: ask the office whether you may come"
        " today. A roof there needs a go of its own."
    ]
    [ground] = _about(_note(early=_early("electrical")), "done early")
    assert ground.endswith("ask the office whether you may come today.")
    assert not _about(_note(), "done early")


@pytest.mark.parametrize("of_weather", [{"gust_mps": 17.0}, {"gust_mps": 30.0}, {"gust_mps": None}])
def test_no_other_roof_is_named_where_its_own_is_shut_or_unknown(of_weather):
    rows = [row | of_weather for row in calm_rows(10)]
    assert not _about(_note(rows=rows, early=_early()), "done early")


def test_work_on_the_ground_is_named_while_the_ground_is_go():
    """The roof shuts at gusts of 15.6 m/s, the ground at 20.1."""
    for gust_mps, there in ((17.0, True), (30.0, False), (None, False)):
        rows = [row | {"gust_mps": gust_mps} for row in calm_rows(10)]
        told = _about(_note(rows=rows, early=_early("electrical")), "done early")
        assert bool(told) is there


@pytest.mark.parametrize("kind", ["roof", "electrical"])
def test_a_visit_on_the_ground_names_nothing_on_a_day_that_is_unknown_there(kind):
    verdicts = day_verdicts(gate_branch([]), DAY, NOW)
    ground = [one for one in verdicts if one.exposure == "ground"]
    assert [one.verdict for one in ground] == ["unknown"]
    assert not worth_asking(_early(kind), ground)
    assert not worth_asking(_early(kind), [])


def test_what_is_unknown_is_told_as_a_no():
    rows = calm_rows(10)
    for row in rows:
        row["gust_mps"] = None
    note = _note(rows=rows)
    assert _about(note, "lift")[0].startswith("Unknown, so do not lift")
    assert "a fresh and whole forecast" in _about(note, "what would change it")[0]
    assert _about(note, "off the roof") == ["Nobody goes on the roof."]
    assert _about(note, "beside it")[0].endswith("wind allows no hour.")


def test_standby_work_is_the_ground_work_that_waits_for_nothing_on_the_roof():
    note = _note(hours=_hours())
    assert _about(note, "standby") == [
        "While the roof is shut, on the ground: unload and prepare (about 3.0 person-hours)."
    ]
    assert "ask the office" in _about(_note(), "standby")[0]


def _hours():
    return stage_hours(stage("S1"))


def test_in_thunder_nobody_stands_by_outside():
    note = _note(hours=_hours(), rows=calm_rows(10, thunder=1.0))
    assert _about(note, "standby") == [
        "Not on the ground either: stay in shelter and ask the office."
    ]


@pytest.mark.parametrize(
    ("wind", "spans"),
    # 0.80 of 17 mph is 6.08 m/s, by hand; the forecast is 13 to 21 h old then
    [(6.0, "wind allows 07:00 to 16:00."), (6.2, "wind allows no hour.")],
)
def test_the_rule_for_work_at_sea_stands_beside_and_may_be_stricter(wind, spans):
    note = _note(wind_mps=wind, gust_mps=8.0)
    assert _about(note, "beside it")[0].endswith(spans)
    assert note.all_go


def test_text_json_and_cells_tell_the_same_lines():
    note = _note()
    text = evening_text([note], "clock set by hand: not for work", "Advice only.")
    assert text.startswith("clock set by hand: not for work\nMonday 2026-05-04, Alder")
    assert text.endswith("Advice only.")
    [told] = evening_json([note], "now")
    assert [(line["about"], line["text"]) for line in told["lines"]] == list(note.lines)
    assert [cells[4:6] for cells in evening_cells([note], "now")] == list(note.lines)
    assert all(line in text for _, line in note.lines)
    assert "unknown, so do not go" in evening_text([replace(note, void_after=None)], "", "")
