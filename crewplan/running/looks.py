"""What the board shows now: one look for good, or looks that follow a database."""

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any, Protocol

from crewplan.model.calendar import local_day, zone
from crewplan.model.hours_so_far import HoursSoFar
from crewplan.running.board_view import BoardView
from crewplan.running.searching import Search, Searched, SearchMaking

if TYPE_CHECKING:
    from crewplan.model.whatif import Wanted
    from crewplan.running.moving import MovedWeek
    from crewplan.running.solving import Solving

CAUSES = frozenset({"import", "plan", "requirements", "progress"})
"""What a look rests on: kinds of versions, and tables that people enter into. Hours, ticks and
readings are read when a page is asked for."""
_AT_ONCE = frozenset({"import", "plan"})
"""What is not kept waiting by the pause between looks."""
_LOG = logging.getLogger("crewplan.board")
TICK_S = 1.0
PAUSE_S = 60.0
"""From the end of a look to the next that entries cause (assumed): an office that writes down
twenty states in a row does not keep the machine planning."""
_AGAIN_S = 60.0
"""After a look that failed, when the next is tried though nothing has changed (assumed)."""


@dataclass(frozen=True, slots=True)
class Look:
    """What is shown, and what there is to say about its age."""

    view: BoardView
    news: tuple[str, ...] = ()
    """One sentence each."""


class Looks(Protocol):
    """Where the pages get their view from."""

    def now(self) -> Look:
        """The last look, at once."""


@dataclass(frozen=True, slots=True)
class OneLook:
    """A plain folder's: it stays as it was when the board started."""

    view: BoardView

    def now(self) -> Look:
        """The same each time."""
        return Look(self.view)


class Followed(Protocol):
    """A database as looks follow it; each call is one short query."""

    def newest(self) -> int:
        """The number of the last version."""

    def since(self, version: int) -> frozenset[str]:
        """Kinds of versions after one, and tables of which a row is new."""

    def worked(self, stages: tuple[str, ...]) -> HoursSoFar:
        """Sums of hours; the same object while no version came."""


@dataclass(frozen=True, slots=True)
class Made:
    """A look that is ready."""

    version: int
    """It knows of everything up to here."""
    view: BoardView
    warnings: tuple[str, ...] = ()
    """What went wrong beside it, one sentence each."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A look that could not be made."""

    why: str
    """One sentence, without its full stop."""


class Making(Protocol):
    """A look that is being made elsewhere."""

    def outcome(self) -> Made | Failed | None:
        """None while it takes."""

    def end(self) -> None:
        """Give it up."""


class LiveLooks:
    """Looks that follow a database: requests are answered from the last while a newer is made.

    Args:
        first: the look to begin with.
        followed: the database.
        make: starts a look in a process of its own.
        clock: the machine's, or the one set by hand.
        prepare: done with each look before it is shown, beside the requests.
        entered: done with the look that is shown and the newest version after each tick.
        search: starts a look that searches for so many seconds; None: nobody may ask for one.
        moved: starts a week with a stage where somebody wants it, which is shown to them alone.
        steady: seconds that only ever go on, for pauses and ages.
    """

    def __init__(
        self,
        first: Made,
        followed: Followed,
        make: Callable[[], Making],
        clock: Callable[[], datetime],
        prepare: Callable[[BoardView], None] = lambda _view: None,
        entered: Callable[[BoardView, int], None] = lambda _view, _version: None,
        steady: Callable[[], float] = time.monotonic,
        search: Callable[[float], SearchMaking] | None = None,
        moved: "Callable[[Wanted], Solving[MovedWeek]] | None" = None,
    ) -> None:
        """Show the first look; nothing is followed before `follow` or `tick`."""
        self._followed, self._make, self._clock, self._steady = followed, make, clock, steady
        self._shown = self._ready(first)
        self._checked = first.version
        self._wanted = False
        self._making: Making | None = None
        self._begin_search, self.moved = search, moved
        self._search: Search | None = None
        self._asked_for: tuple[float, str] | None = None
        self._failed = self._unread = ""
        self._since_s = self._begun_s = self._rested_s = self._not_before_s = steady()
        self._end = threading.Event()
        self._prepare, self._entered = prepare, entered

    def now(self) -> Look:
        """The last look, and whether a newer one is on its way."""
        return Look(self._shown.view, self._news())

    def search(self, longest_s: float, by: str) -> bool:
        """Look for a better week from the next tick on, after a look that is being made.

        Returns:
            Whether it was taken; not while another search runs, or where none can be made.
        """
        if self._begin_search is None or self.searching():
            return False
        self._asked_for = (longest_s, by)
        return True

    def searching(self) -> bool:
        """Whether a search runs, or comes next."""
        running = self._search is not None and self._making is self._search.making
        return self._asked_for is not None or running

    def waits_for_a_look(self) -> bool:
        """Whether a search that was asked for waits until the look on its way is there."""
        return self._asked_for is not None

    def enough(self) -> None:
        """End the search that runs with the best week so far, or the one that waits."""
        self._asked_for = None
        if self._search is not None and self._making is self._search.making:
            self._search.stop()

    def searched(self) -> Searched | None:
        """How the last search stands or ended; None: there was none."""
        return None if self._search is None else self._search.standing(self._wanted)

    def tick(self) -> None:
        """Look whether something came, and take over what is ready; called about once a second."""
        now_s = self._steady()
        if self._making is not None:
            self._take_over(self._making, now_s)
        self._look_for_changes()
        if self._making is None and self._asked_for is not None and self._begin_search is not None:
            longest_s, by = self._asked_for
            try:
                making = self._begin_search(longest_s)
                self._search = Search(making, by, longest_s, self._shown)
                self._making, self._wanted, self._begun_s = making, False, now_s
                if not self.waits_for_a_look():  # it was enough before it had begun
                    self._search.stop()
            finally:
                # not sooner: whoever asks meanwhile must not hear that nothing is looked for
                self._asked_for = None
        if self._making is None and self._wanted and now_s >= self._not_before_s:
            self._wanted, self._begun_s = False, now_s
            self._making = self._make()

    def follow(self) -> None:
        """Tick until `end`, beside the requests."""
        threading.Thread(target=self._run, name="looks", daemon=True).start()

    def end(self) -> None:
        """Stop following, and give up what is being made."""
        self._end.set()
        if self._making is not None:
            self._making.end()

    def _run(self) -> None:
        self._ahead(self._prepare, self._shown.view)
        while not self._end.wait(TICK_S):
            self.tick()
            self._ahead(self._entered, self._shown.view, self._checked)

    def _ahead(self, make: Callable[..., None], *what: Any) -> None:
        """Pages made ahead only save time; where one cannot be made, whoever asks is told."""
        try:
            make(*what)
        except Exception:
            _LOG.exception("a page could not be made ahead")

    def _ready(self, made: Made) -> Made:
        stages = tuple(stage.stage for stage in made.view.branch.stages)
        return replace(made, view=replace(made.view, worked=lambda: self._followed.worked(stages)))

    def _take_over(self, making: Making, now_s: float) -> None:
        outcome = making.outcome()
        if outcome is None:
            return
        self._making = None
        if self._search is not None and making is self._search.making:
            found = self._search.settle(outcome, self._shown)
            if found is None:
                self._rested_s = self._not_before_s = now_s
                return
            outcome = found
        if isinstance(outcome, Made):
            ready = self._ready(outcome)
            self._ahead(self._prepare, ready.view)
            self._shown, self._failed = ready, ""
            self._since_s = now_s
            # pages get at least as much of the machine as looks do
            self._rested_s = now_s + (now_s - self._begun_s)
            self._not_before_s = max(now_s + PAUSE_S, self._rested_s)
        else:
            self._failed, self._wanted = outcome.why, True
            self._rested_s = self._not_before_s = now_s + _AGAIN_S

    def _look_for_changes(self) -> None:
        settings = self._shown.view.branch.settings
        try:
            newest = self._followed.newest()
            if newest != self._checked:
                causes = self._followed.since(self._checked) & CAUSES
                self._wanted |= bool(causes)
                if causes & _AT_ONCE:
                    self._not_before_s = self._rested_s
                self._checked = newest
        except Exception as error:  # whatever a database does: the page tells it, and stays
            self._unread = " ".join(str(error).split()).rstrip(".")
            return
        self._unread = ""
        asked_on = self._shown.view.asked_at.astimezone(zone(settings)).date()
        if self._making is None and local_day(settings, self._clock()) > asked_on:
            self._wanted = True

    def _news(self) -> tuple[str, ...]:
        shown = self._shown
        told = [f"Made from version {shown.version}.", *shown.warnings]
        if self.searching():
            told.append("A search for a better week is running: this is the one before it.")
            if self._wanted:
                told.append("Something has changed since: a newer look comes after it.")
        elif self._making is not None:
            told.append("Something has changed since: a newer look is being made.")
        elif self._wanted and not self._failed:
            told.append("Something has changed since: a newer look comes next.")
        age = _age(self._steady() - self._since_s)
        if self._unread:
            told.append(f"What is new cannot be read: {self._unread}. This look is {age} old.")
        if self._failed:
            told.append(f"A newer look could not be made: {self._failed}. This one is {age} old.")
        return tuple(told)


def _age(seconds: float) -> str:
    minutes = int(seconds // 60)
    if minutes < 1:
        return "under a minute"
    if minutes < 120:
        return f"{minutes} minute{'s' if minutes > 1 else ''}"
    return f"{minutes // 60} hours"
