"""What can go wrong with a database, each told in one sentence."""

from dataclasses import dataclass
from datetime import UTC, datetime


class StoreFault(Exception):
    """Something outside failed: a disk, a server, a file that is no database. Exit 3."""


class DatabaseFault(StoreFault):
    """What a database said, turned into words."""

    def __init__(self, name: str, said: str) -> None:
        """Keep the words apart from the name, which is nobody's language."""
        super().__init__(f"{name}: {said}")
        self.name, self.said = name, said


class NewerDatabase(StoreFault):
    """A later crewplan wrote it."""


class SolveUnderWay(StoreFault):
    """Somebody else's plan of this branch is being made."""


class NotDone(Exception):
    """The answer is no, and nothing was written. Exit 1."""


class ImportMoved(Exception):
    """Somebody wrote between the look at an import and its acceptance: look again."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One cell of which two people want different things."""

    column: str
    seen: str
    """What the editor had before them."""
    stored: str
    """What somebody else has written since."""
    wanted: str


class Conflict(NotDone):
    """The row was changed since the editor read it; nothing was overwritten."""

    def __init__(
        self, what: str, who: str, at: datetime, differences: tuple[Difference, ...]
    ) -> None:
        """Keep what the editor needs in order to choose."""
        told = "; ".join(
            f"{d.column} was {d.seen or 'empty'}, is now {d.stored or 'empty'}, "
            f"you wrote {d.wanted or 'empty'}"
            for d in differences
        )
        when = f"{at.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
        super().__init__(f"{what} was changed by {who} at {when} since you read it: {told}")
        self.who = who
        self.at = at
        self.differences = differences
