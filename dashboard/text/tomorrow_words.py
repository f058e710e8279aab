"""Sentences of the crew's page."""

from datetime import datetime

from crewplan.model.job_rows import Job, StageKind
from crewplan.model.verdict import DayVerdict, HourVerdict, Window
from crewplan.publishing.day_words import day_words
from crewplan.publishing.screen_units import UnitSystem, fixed, quantity
from dashboard.text.chances import chance_words, hours_words
from dashboard.text.verdict_words import MEASURE_WORDS

PHONE = "Phone"
LIFT_WORDS = {
    "hoist": "hoist",
    "boom": "boom",
    "conveyor": "conveyor",
    "ladder_hoist": "ladder hoist",
}


def window_words(window: Window) -> str:
    """'07:00 to 11:00, chance 95 in 100'."""
    return f"{window.start:%H:%M} to {window.end:%H:%M}, chance {chance_words(window.p_go)}"


def void_words(verdict: DayVerdict) -> str:
    """Until when the verdict stands, and how old its forecast was."""
    if verdict.void_after is None:
        return "There is no forecast to judge by."
    words = f"Void after {time_words(verdict.void_after)}; ask again before then."
    if verdict.age_h is not None:
        words += f" The oldest forecast used was {hours_words(verdict.age_h)} old."
    return words


def needed_words(verdict: DayVerdict) -> str:
    """How long a window has to be."""
    if verdict.window_needed_h <= 0:
        return ""
    needed = hours_words(verdict.window_needed_h)
    return f"A window of at least {needed} is needed, making safe included."


def decides_words(hour: HourVerdict, units: UnitSystem) -> str:
    """'gust 19.2 of 26 mph': what decides the hour, against its limit."""
    name = MEASURE_WORDS.get(hour.measure, hour.measure.replace("_", " "))
    if hour.value is None:
        return f"{name} unknown"
    if hour.limit is None:
        return f"{name} {quantity(hour.value, hour.unit, units)}"
    if not hour.unit:
        return name
    value = fixed(hour.value, hour.unit, units)
    return f"{name} {value} of {quantity(hour.limit, hour.unit, units)}"


def site_words(job: Job, kind: StageKind) -> list[tuple[str, str]]:
    """What the crew needs to know to get there and in; only what the tables say."""
    pairs = [
        ("Address", job.address),
        ("On site", job.contact),
        (PHONE, job.phone),
        ("Access", job.access_note),
        ("Modules go up by", LIFT_WORDS[job.lift_method] if kind == "roof" else ""),
        ("Storeys", str(job.storeys)),
    ]
    return [(name, words) for name, words in pairs if words]


def time_words(instant: datetime) -> str:
    """'Sun 3 May, 18:00'."""
    return f"{day_words(instant.date())}, {instant:%H:%M}"
