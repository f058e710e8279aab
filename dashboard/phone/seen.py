"""A look as one crew's reader gets it, and how its words age."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from crewplan.model.calendar import zone
from crewplan.model.verdict import DayVerdict
from crewplan.model.work_rows import EXPOSURES, Exposure
from crewplan.publishing.day_words import day_words
from crewplan.running.board_view import BoardView
from dashboard.phone.language import Tongue

TOP_FIRST: tuple[Exposure, ...] = tuple(reversed(EXPOSURES))


@dataclass(frozen=True, slots=True)
class Seen:
    """A look that one crew's day is written from, as it counts now."""

    view: BoardView
    crew: str
    now: datetime
    tongue: Tongue

    def time(self, instant: datetime) -> str:
        """'Sun 3 May, 18:00', on the branch's own clock."""
        local = instant.astimezone(zone(self.view.branch.settings))
        return f"{day_words(local.date())}, {local:%H:%M}"

    def say(self, key: str, **filled: object) -> str:
        """A sentence in the reader's language."""
        return self.tongue.say(key, **filled)


def void_of(seen: Seen, verdict: DayVerdict | None) -> str | None:
    """ISO; None: nothing ages, by a clock that was set by hand or without a forecast."""
    if verdict is None or verdict.void_after is None or seen.view.clock != "now":
        return None
    return verdict.void_after.isoformat()


def is_stale(seen: Seen, verdict: DayVerdict | None) -> bool:
    """Whether it is void at the moment of asking."""
    if verdict is None or verdict.void_after is None or seen.view.clock != "now":
        return False
    return seen.now > verdict.void_after


def aged(seen: Seen, verdict: DayVerdict | None, words: str) -> dict[str, Any]:
    """Words that go with a verdict's age."""
    return {"words": words, "void": void_of(seen, verdict), "stale": is_stale(seen, verdict)}
