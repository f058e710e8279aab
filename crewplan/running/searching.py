"""A longer search for a better week, which somebody began from the board and may end."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Protocol

if TYPE_CHECKING:
    from crewplan.running.looks import Failed, Made
    from crewplan.running.solving import Progress

State = Literal["running", "stopping", "better", "no better", "failed"]
"""better: the board shows what was found; no better: it shows what it showed before."""


class SearchMaking(Protocol):
    """A look with a search of its own, that is being made elsewhere."""

    @property
    def seconds(self) -> float:
        """Since it was begun."""

    def progress(self) -> "Progress | None":
        """The last that was heard; None while nothing is searched yet."""

    def stop(self) -> None:
        """What there is is good enough."""

    def outcome(self) -> "Made | Failed | None":
        """None while it takes."""

    def end(self) -> None:
        """Give it up."""


@dataclass(frozen=True, slots=True)
class Searched:
    """How a search stands or ended; prices in whole cents."""

    by: str
    state: State
    seconds: float
    longest_s: float
    before_cents: int
    """Of the week that the board showed when it began."""
    progress: "Progress | None"
    why: str = ""
    """Of one that failed: one sentence, without its full stop."""
    entries_since: bool = False
    """Something was entered since it began that a plan rests on: it is not in what was found."""


class Search:
    """One search and what became of it."""

    def __init__(self, making: SearchMaking, by: str, longest_s: float, shown: "Made") -> None:
        """It was begun from what the board shows."""
        self.making = making
        self._by, self._longest_s = by, longest_s
        self._before_cents, self._version = shown.view.plan.objective, shown.version
        self._state: State = "running"
        self._why = ""
        self._seconds = 0.0
        self._progress: Progress | None = None

    def stop(self) -> None:
        """The best so far is good enough."""
        if self._state == "running":
            self._state = "stopping"
            self.making.stop()

    def standing(self, changed: bool) -> Searched:
        """As of now; `changed`: whether something came that a plan rests on."""
        if self._state in ("running", "stopping"):
            self._seconds, self._progress = self.making.seconds, self.making.progress()
        return Searched(
            self._by,
            self._state,
            self._seconds,
            self._longest_s,
            self._before_cents,
            self._progress,
            self._why,
            changed,
        )

    def settle(self, outcome: "Made | Failed", shown: "Made") -> "Made | None":
        """What the board is to show from now on; None: what it shows.

        Of the same tables the cheaper plan stays; of newer ones the new one is right anyway.
        """
        from crewplan.running.looks import Made

        self._seconds = self.making.seconds
        if not isinstance(outcome, Made):
            self._state, self._why = "failed", outcome.why
            return None
        found, before = outcome.view.plan.objective, shown.view.plan.objective
        if outcome.version <= shown.version and found >= before:
            self._state = "no better"
            return None
        self._state = "better"
        return outcome
