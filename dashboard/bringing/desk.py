"""From sent files to what they would change, and into the database."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from threading import Lock

from crewplan.intake import OwnTables
from crewplan.intake.brought import BroughtFile, read_brought
from crewplan.store.connecting import Store, open_store
from crewplan.store.faults import NotDone
from crewplan.store.importing import OF_A_STAGE, Draft, accept, look_at
from crewplan.store.place import has_database, place_of
from crewplan.store.state import own_tables_at
from crewplan.store.versions import newest
from dashboard.bringing.waiting import Lot, Waiting

READING_WAIT_S = 20
"""How long one who sends waits for another's files to be read (assumed)."""


class OthersAreRead(Exception):
    """Somebody else's files are being read for longer than anybody waits; one sentence."""


@dataclass(slots=True)
class BringDesk:
    """Where one board's tables are brought to."""

    source: str | None
    """A folder or the address of a database; None: rows of no folder."""
    waiting: Waiting = field(default_factory=Waiting)
    _store: Store | None = None
    _reads: Lock = field(default_factory=Lock)
    """Files are read one lot at a time: reading takes memory and a processor."""

    def store(self) -> Store | None:
        """The database; None: there is none.

        Raises:
            StoreFault: it cannot be opened.
        """
        if self._store is None and self.source is not None and has_database(self.source):
            self._store = open_store(place_of(self.source))
        return self._store

    def read(
        self, store: Store, files: Sequence[BroughtFile], who: str, size: int, now: datetime
    ) -> Lot:
        """Read sent files beside what stands, and keep them until they are accepted.

        Raises:
            InputFaults: with every fault of every file.
            OthersAreRead, TooMuchWaits: not now.
            StoreFault: the database cannot be read.
        """
        with self._turn():
            own = read_brought(files, _standing(store), now)
            return self.waiting.keep(own, who, size, now)

    @contextmanager
    def _turn(self) -> Iterator[None]:
        if not self._reads.acquire(timeout=READING_WAIT_S):
            raise OthersAreRead("Somebody else's files are being read; send yours again then.")
        try:
            yield
        finally:
            self._reads.release()


def _standing(store: Store) -> OwnTables | None:
    """What sent tables are held to; None: nothing stands yet.

    Records of a stage are left out: whether a stage may go that has any is asked, and `look_at`
    holds all of them to what is left.
    """
    with store.read() as connection:
        if newest(connection) is None:
            return None
        own = own_tables_at(connection)
    rows = {name: rows for name, rows in own.rows.items() if name not in OF_A_STAGE}
    return replace(own, rows=rows)


def look(store: Store, lot: Lot, drop: Sequence[str] = ()) -> Draft:
    """What a lot would change now.

    Raises:
        InputFaults: it does not go together with what was entered since.
    """
    with store.read() as connection:
        return look_at(connection, lot.own, drop, lot.own.brought)


def take_in(
    store: Store, lot: Lot, seen: str, drop: Sequence[str], by: str, now: datetime
) -> int | None:
    """Write what was looked at, at the version `seen`; None: somebody has written since.

    Raises:
        InputFaults: as `look`.
        NotDone: a stage would go that nobody gave up, or nothing changes.
    """
    with store.write() as connection:
        draft = look_at(connection, lot.own, drop, lot.own.brought)
        if str(number_of(draft)) != seen:
            return None
        if draft.stuck:
            raise NotDone("a stage with something on it would go, and was not ticked")
        if not draft.is_change:
            raise NotDone("nothing would change")
        return accept(connection, draft, by, now)


def newest_import_of(store: Store, who: str) -> str:
    """The number of the newest import where it is this person's; else empty."""
    with store.read() as connection:
        last = newest(connection, "import")
    return str(last.number) if last is not None and last.made_by == who else ""


def number_of(draft: Draft) -> int:
    """The version that a draft was held against; 0: none."""
    return draft.former.number if draft.former is not None else 0
