"""Somebody who works with a crew that is not their own for a day."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class LentDay:
    """One person on one day."""

    day: date
    person: str
    home: str
    """Their own crew."""
    crew: str
    """The crew that they go with."""
    stages: tuple[str, ...]
    """What they work at there."""
    without: tuple[str, ...] = ()
    """What their own crew does without them that day."""


@dataclass(frozen=True, slots=True)
class LentChange:
    """One person on one day, with another crew than published, or than in a first plan."""

    day: date
    person: str
    home: str
    before: str
    """The crew that they go with there; their own where they are not lent."""
    after: str
    """From now on."""

    @property
    def crews(self) -> tuple[str, ...]:
        """All that have to hear of it, their own first."""
        return tuple(dict.fromkeys((self.home, self.before, self.after)))
