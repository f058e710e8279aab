"""The gate against a second one of plain loops, on random forecasts full of trouble."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest
from builders import NOW, package_limits
from hypothesis import given, settings
from hypothesis import strategies as st
from plain_gate import HOUR, plain_hours, plain_windows
from weather_cases import DULUTH, gate_branch, troubled_rows

from crewplan.model.calendar import shift_bounds, shift_hours
from crewplan.weather import Site, day_verdicts

EXPOSURES = ("ground", "roof", "lift")


def _compare(rows, day, now, site, *, members=None, exposures=EXPOSURES, **changes):
    branch = gate_branch(rows, settings__weather_members=members, **changes)
    opens, closes = shift_bounds(branch.settings, day)
    starts = [hour.start for hour in shift_hours(branch.settings, day)]
    spans = [
        (max(s.astimezone(UTC), opens, now), min(s.astimezone(UTC) + HOUR, closes)) for s in starts
    ]
    words = set()
    asked = day_verdicts(branch, day, now, site=Site(*site), exposures=exposures)
    for verdict in asked:
        plain = plain_hours(
            rows,
            package_limits(),
            [s.astimezone(UTC) for s in starts],
            now,
            site,
            exposure=verdict.exposure,
            weather_members=members or 0,
        )
        got = [(hour.verdict, hour.p_go) for hour in verdict.hours]
        assert got == [(word, len(good) / total) for word, good, _, total in plain]
        wanted = plain_windows(plain, spans, least=0.9, needed_h=verdict.window_needed_h)
        got = [(w.start.astimezone(UTC), w.end.astimezone(UTC), w.p_go) for w in verdict.windows]
        assert got == wanted
        assert (verdict.verdict == "go") == bool(wanted)
        words |= {hour.verdict for hour in verdict.hours} | {verdict.verdict}
    return words


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.integers(10, 12), st.sampled_from([None, 11, 12, 13]))
def test_verdicts_and_windows_are_those_of_plain_loops(seed, members, full):
    _compare(troubled_rows(seed, members), date(2026, 5, 4), NOW, DULUTH, members=full)


@settings(max_examples=6, deadline=None)
@given(st.integers(0, 10**6), st.integers(1, 2))
def test_few_members_get_the_error_of_plain_loops(seed, members):
    _compare(
        troubled_rows(seed, members, hours=12),
        date(2026, 5, 4),
        NOW,
        DULUTH,
        exposures=("lift",),
    )


def test_random_forecasts_bring_up_all_three_words():
    words = set()
    for seed in range(12):
        rows = troubled_rows(seed, 10)
        words |= _compare(rows, date(2026, 5, 4), NOW, DULUTH, exposures=("roof",))
    assert words == {"go", "no-go", "unknown"}


@pytest.mark.parametrize(
    ("zone", "day", "shift"),
    [
        ("America/Chicago", date(2026, 3, 8), "00:00"),  # 2 o'clock does not exist
        ("America/Chicago", date(2026, 11, 1), "00:00"),  # 1 o'clock comes twice
        ("Asia/Kolkata", date(2026, 5, 4), "07:30"),  # half an hour off UTC's hours
        ("Asia/Kathmandu", date(2026, 5, 4), "07:00"),  # three quarters off
        ("Australia/Lord_Howe", date(2026, 4, 5), "00:00"),  # the clock goes back by half an hour
    ],
)
def test_days_with_odd_clocks_are_judged_by_instants(zone, day, shift):
    start = datetime.combine(day, time.fromisoformat(shift), ZoneInfo(zone)).astimezone(UTC)
    now = start.replace(minute=0) - 2 * HOUR
    words = set()
    for seed in range(6):
        rows = troubled_rows(seed, 10, first=start.replace(minute=0) - 3 * HOUR, now=now)
        words |= _compare(
            rows,
            day,
            now,
            DULUTH,
            exposures=("ground", "lift"),
            settings__timezone=zone,
            settings__shift_start=time.fromisoformat(shift),
        )
    assert "unknown" in words or "go" in words
