"""branch.toml written from the settings reads back as the same settings."""

from dataclasses import fields, replace
from datetime import date, time

import pytest
from builders import settings

from crewplan.intake.faults import Report
from crewplan.intake.settings_file import settings_of_text
from crewplan.model.settings import FeedSettings, Holidays, Settings
from crewplan.store.settings_text import settings_toml

OTHERS = {
    "name": 'Ünted "Branch" = 1',
    "timezone": "Europe/Berlin",
    "latitude": 52.5,
    "longitude": 13.4,
    "units": "metric",
    "currency": "EUR",
    "locale": "en_DE",
    "holidays": Holidays("DE", "BE"),
    "closed_on": (date(2026, 12, 24),),
    "open_on": (date(2026, 10, 31), date(2026, 12, 26)),
    "shift_start": time(6, 30),
    "shift_h": 8.5,
    "break_h": 0.75,
    "overtime_max_h": 1.0,
    "workdays": ("mon", "tue", "sat"),
    "overtime_factor": 1.25,
    "uneven_hour_cost": 6.0,
    "other_crew_cost": 90.0,
    "travel_kmh": 40.0,
    "detour_factor": 1.4,
    "freeze_days": 3,
    "go_probability": 0.75,
    "gate_probability": 0.95,
    "ready_probability": 0.85,
    "worst_weather_weight": 0.25,
    "weather_reach_km": 20.0,
    "weather_max_age_h": 10.0,
    "reading_wait_h": 0.75,
    "weather_members": 31,
    "requirements": {"roof": ("permit", "deposit")},
    "comes_after": {"permit": ("structural_letter",), "neighbour's consent": ("survey",)},
    "lead_time_half_life_days": 180.0,
    "open_jobs_max": 2,
    "open_day_cost": 60.0,
    "lending_cost_per_day": 40.0,
    "crew_lent_per_day": 260.0,
    "crew_lent_within_km": 75.0,
    "trainees_count": False,
    "feed": FeedSettings("ensemble", "https://weather.example.org", "office@example.org", "m"),
}
NEVER_WRITTEN = {"demo", "invented"}


def read_back(given: Settings) -> Settings | None:
    report = Report()
    found = settings_of_text(settings_toml(given), report)
    assert report.faults == []
    return found


def test_every_setting_but_a_clock_set_by_hand_is_written_and_read_back() -> None:
    names = {field.name for field in fields(Settings)}
    assert names == OTHERS.keys() | NEVER_WRITTEN
    defaults = settings()
    for name, value in OTHERS.items():
        assert value != getattr(defaults, name), name
    given = replace(defaults, **OTHERS)
    assert read_back(given) == given


@pytest.mark.parametrize("name", sorted(OTHERS))
def test_each_setting_comes_back_by_itself(name: str) -> None:
    given = replace(settings(), **{name: OTHERS[name]})
    assert read_back(given) == given


def test_the_key_of_a_feed_is_never_written() -> None:
    feed = FeedSettings("ensemble", key="secret")
    assert "secret" not in settings_toml(replace(settings(), feed=feed))
