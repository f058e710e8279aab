"""The word of each hour: only hours inside a window are go."""

from datetime import timedelta
from typing import Literal

from crewplan.model.verdict import DayVerdict, HourVerdict

HourWord = Literal["go", "no-go", "unknown", "too short"]

_HOUR = timedelta(hours=1)


def hour_word(verdict: DayVerdict, hour: HourVerdict) -> HourWord:
    """The hour's verdict; a good hour outside every window is 'too short' to start in."""
    if hour.verdict != "go":
        return hour.verdict
    inside = any(
        window.start < hour.hour + _HOUR and hour.hour < window.end for window in verdict.windows
    )
    return "go" if inside else "too short"
