"""What was missing on the day lately, for those who load the truck."""

from collections.abc import Sequence

from crewplan.model.finding import MissedPart
from crewplan.publishing.day_words import day_words

_SHOWN = 6
"""More are counted only."""


def missed_words(parts: Sequence[MissedPart], weeks: int) -> str:
    """One sentence; empty where nothing was."""
    if not parts:
        return ""
    told = "; ".join(map(_words, parts[:_SHOWN]))
    more = len(parts) - _SHOWN
    rest = f"; and {more} more" if more > 0 else ""
    return f"Count these first; they were missing on site in the last {weeks} weeks: {told}{rest}."


def _words(one: MissedPart) -> str:
    """'end clamp (2 times, last on Fri 17 Apr)'."""
    times = "once, on" if one.cases == 1 else f"{one.cases} times, last on"
    return f"{one.part} ({times} {day_words(one.last_on)})"
