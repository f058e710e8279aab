"""The whole record of a board's branch, opened for the owner's page and kept until it changes.

A board on a database looks at open work only, so that what was done years ago is read here: in a
thread of its own, since five years take longer than anybody waits for a page.
"""

import logging
from dataclasses import dataclass, field
from datetime import date, timedelta
from threading import Lock, Thread
from time import monotonic
from weakref import WeakKeyDictionary

from crewplan.ledger import Book, open_book
from crewplan.model.expected import ExpectedAndHappened
from crewplan.model.ledger import Span
from crewplan.model.owner import OwnerView
from crewplan.running.all_stays import all_of_it_stays
from crewplan.running.board_view import BoardView
from crewplan.running.owner_view import owner_view, planning_held_to
from crewplan.store.connecting import Store
from crewplan.store.expectations import kept_expectations
from crewplan.store.faults import StoreFault
from crewplan.store.following import newest_number
from dashboard.kept_record import KeptRecord, kept_record

_WAIT_S = 2.0
"""How long a page waits for the record before it shows what there is. Assumed."""
_CHEAP_S = 0.1
"""A record that is brought up as fast is brought up to each entry. With 0.5 s, 200 people at once
paid for it with three times the half second that a page may take (measured, 240 stages)."""
_REST = 30.0
"""A longer one rests for so many times what it took, so that it takes a thirtieth of a core.
Reading all of it does not count: the next entry is added to what was read."""
_A_YEAR = timedelta(days=364)
_LOG = logging.getLogger("crewplan.board")


@dataclass(slots=True, eq=False)
class Opened:
    """A book, and what was asked of it so far."""

    book: Book
    version: int
    expected: ExpectedAndHappened | None = None
    by_span: dict[Span, OwnerView] = field(default_factory=dict)
    by_month: dict[str, OwnerView] = field(default_factory=dict)
    """Of closed months."""
    behind: bool = False
    """Newer entries are being added up."""


class _Following:
    """The newest book of a database."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._turn = Lock()
        self._opened: Opened | None = None
        self._record: KeptRecord | None = None  # only the worker's
        self._worker: Thread | None = None
        self._not_before = 0.0  # by the monotonic clock

    def newest(self, today: date) -> Opened | None:
        """The book of the newest version; of an older one, or None, while that is being read."""
        try:
            with self._store.read() as connection:
                version = newest_number(connection)
        except StoreFault:  # it is told as what there was, with newer entries to come
            if self._opened is not None:
                self._opened.behind = True
            return self._opened
        with self._turn:
            if self._opened is not None and self._opened.version == version:
                self._opened.behind = False
                return self._opened
            if self._opened is not None and monotonic() < self._not_before:
                self._opened.behind = True
                return self._opened
            if self._worker is None or not self._worker.is_alive():
                self._worker = Thread(target=self._open, args=[today], daemon=True)
                self._worker.start()
            worker = self._worker
        worker.join(_WAIT_S)
        found = self._opened
        if found is not None:
            found.behind = found.version != version
        return found

    @all_of_it_stays()
    def _open(self, today: date) -> None:
        begun, former = monotonic(), self._record
        try:
            with self._store.read() as connection:
                record = kept_record(connection, former)
                kept = kept_expectations(connection)
            self._record, book = record, record.book
            expected = planning_held_to(book, today, kept)
            year = last_year(today)
            # what is looked at first is made here, where nobody waits for it
            made = {year: owner_view(book, today, year, expected)}
            self._opened = Opened(book, record.version, expected, made)
            took = monotonic() - begun
            rests = former is not None and record.extends(former) and took > _CHEAP_S
            self._not_before = monotonic() + (_REST * took if rests else 0.0)
        except Exception:  # the page says that it is not there; the next request tries again
            _LOG.exception("the record could not be opened")


_OF_STORES: WeakKeyDictionary[Store, _Following] = WeakKeyDictionary()
_OF_VIEWS: WeakKeyDictionary[BoardView, Opened] = WeakKeyDictionary()


def last_year(today: date) -> Span:
    """The days that are shown where none are asked for."""
    return Span(today - _A_YEAR, None)


def opened(view: BoardView, store: Store | None) -> Opened | None:
    """The branch's book: of the database where there is one, else of the look's own tables."""
    if store is not None:
        following = _OF_STORES.setdefault(store, _Following(store))
        return following.newest(view.asked_at.date())
    found = _OF_VIEWS.get(view)
    if found is None:
        found = _OF_VIEWS.setdefault(view, Opened(open_book(view.branch, view.takeoffs), 0))
    return found
