"""A verdict as cells and as text."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from builders import NOW
from weather_cases import HOUR, MONDAY_7, calm_rows, gate_branch

from crewplan.publishing.gate_text import GATE_COLUMNS, gate_cells, gate_text
from crewplan.weather import day_verdicts

TWENTY_PAST_NINE = datetime(2026, 5, 4, 9, 20, tzinfo=ZoneInfo("America/Chicago"))


def _in_window(verdicts):
    at = GATE_COLUMNS.index("in_window")
    return [cells[at] for cells in gate_cells(verdicts)]


def test_an_hour_that_shift_or_clock_cuts_is_in_the_window_with_what_is_left_of_it():
    rows = calm_rows(first=MONDAY_7 - HOUR, hours=13)
    late = gate_branch(calm_rows(hours=13), settings__shift_start=time(7, 30))
    asked = day_verdicts(late, date(2026, 5, 4), NOW, exposures=("lift",))
    assert asked[0].windows[0].start.time() == time(7, 30)
    assert _in_window(asked) == ["yes"] * 10
    fresh = gate_branch([row | {"issued_at": TWENTY_PAST_NINE} for row in rows])
    asked = day_verdicts(fresh, date(2026, 5, 4), TWENTY_PAST_NINE, exposures=("lift",))
    assert _in_window(asked) == ["no"] * 2 + ["yes"] * 7
    assert "no window" in gate_text(fresh.settings, asked, "", "")
