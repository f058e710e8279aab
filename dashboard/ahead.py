"""Pages made before anybody asks for them: of a new look, and of what was entered since."""

import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from functools import partial

from crewplan.model.account import Actor
from crewplan.publishing.reader import written_for
from crewplan.running.board_view import BoardView
from crewplan.store.connecting import Store
from dashboard.guard.own_eyes import seen_by
from dashboard.owner_books import opened
from dashboard.pages import hours, tomorrow, waiting, week

_REST = 19.0
"""The page of hours, made ahead at each entry, takes a twentieth of a core at most. Assumed."""


def make_ahead(view: BoardView, store: Store) -> None:
    """The week, the hours, and each crew's day as its lead sees it.

    It rests after each for as long as that took, so that it takes half of the machine at most.
    """
    for make in _pages(view, datetime.now(UTC), store):
        begun = time.monotonic()
        with written_for(view.branch.settings.locale):
            make()
        time.sleep(time.monotonic() - begun)


def _pages(view: BoardView, now: datetime, store: Store) -> Iterator[Callable[[], object]]:
    yield partial(week.kept_week, view, now)
    yield partial(waiting.kept_waiting, view, now, True)
    yield partial(hours.kept_hours_page, view, now, "", store)
    for crew in view.branch.crews:
        lead = Actor(crew.crew, "lead", frozenset({crew.crew}))
        yield lambda crew=crew.crew, lead=lead: tomorrow.tomorrow_page(
            seen_by(view, lead), crew, now
        )


class HoursAhead:
    """The page of hours is made anew when something was entered, not when the owner clicks.

    An entry costs it tens of milliseconds of figures and tables, which then nobody waits for.
    """

    def __init__(self, store: Store, steady: Callable[[], float] = time.monotonic) -> None:
        """Nothing is made yet; `steady` are seconds that only ever go on."""
        self._store, self._steady = store, steady
        self._made: tuple[BoardView, int] | None = None
        self._not_before_s = steady()

    def __call__(self, view: BoardView, version: int) -> None:
        """Make it, unless that was done for this look and version, or it is time to rest."""
        begun = self._steady()
        if begun < self._not_before_s or self._made == (view, version):
            return
        record = opened(view, self._store)
        if record is None or record.behind:  # its own rest; the next call tries again
            return
        with written_for(view.branch.settings.locale):
            hours.kept_hours_page(view, datetime.now(UTC), "", self._store)
        self._made, ended = (view, version), self._steady()
        self._not_before_s = ended + _REST * (ended - begun)
