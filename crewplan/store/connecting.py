"""Open databases, and the two kinds of transaction: one that reads, one that writes.

Writers take turns: a write begins with the lock of the whole database (SQLite: BEGIN IMMEDIATE;
PostgreSQL: an advisory lock), so that versions are numbered without gaps and nobody is told that
the database is locked. Writes are short; readers never wait for them.
"""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from typing import Any
from weakref import finalize

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.exc import DisconnectionError
from sqlalchemy.pool import NullPool

from crewplan.store.faults import NewerDatabase, StoreFault
from crewplan.store.place import Place
from crewplan.store.schema import REVISIONS
from crewplan.store.upkeep import touched
from crewplan.store.words_of_errors import told

BUSY_S = 60
"""How long a writer waits for its turn (assumed: an import of millions of weather rows holds the
database for less)."""
_KEPT, _MORE = 6, 50
"""Connections that a board keeps open, one a thread that answers; and beside them for a moment."""
_FILE = "crewplan_file"
_WRITES = "crewplan_writes"
_LOCK = 727_021_509
"""The advisory lock of all of this program's writers; any number that no other program uses."""


def _sqlite(engine: Engine) -> None:
    @event.listens_for(engine, "connect")
    def connected(connection: Any, _record: Any) -> None:
        connection.isolation_level = None  # transactions are begun below, not by the driver
        cursor = connection.cursor()
        cursor.execute(f"PRAGMA busy_timeout = {BUSY_S * 1000}")
        cursor.execute("PRAGMA foreign_keys = ON")
        cursor.execute("PRAGMA synchronous = FULL")
        if cursor.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            cursor.execute("PRAGMA journal_mode = WAL")
        cursor.close()

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        writes = connection.get_execution_options().get(_WRITES, False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _same_file(engine: Engine, file: Path) -> None:
    """Use a kept connection only while the file that it opened is the one that is there."""

    def identity() -> tuple[int, int]:
        found = file.stat()
        return found.st_dev, found.st_ino

    @event.listens_for(engine, "connect")
    def connected(_connection: Any, record: Any) -> None:
        record.info[_FILE] = identity()

    @event.listens_for(engine, "checkout")
    def checked_out(_connection: Any, record: Any, _proxy: Any) -> None:
        if record.info[_FILE] != identity():
            raise DisconnectionError("another file is in its place")


def _engine(place: Place, *, keep_open: bool) -> Engine:
    if keep_open:
        engine = create_engine(
            place.url, pool_size=_KEPT, max_overflow=_MORE, pool_timeout=BUSY_S, pool_pre_ping=True
        )
        if place.file is not None:
            _same_file(engine, place.file)
    else:
        engine = create_engine(place.url, poolclass=NullPool)
    if engine.dialect.name == "sqlite":
        _sqlite(engine)
    return engine


class Store:
    """An open database of one branch."""

    def __init__(self, place: Place, *, keep_open: bool = False) -> None:
        """Open the database that is there, or will be; nothing is read or made yet.

        A command opens a connection for each transaction, and leaves no file beside the database's;
        a board keeps some open, since opening one takes as long as a page's question.
        """
        self.place = place
        self._turn = Lock()
        with told(place.name):
            self.engine = _engine(place, keep_open=keep_open)
        if keep_open:
            finalize(self, self.engine.dispose)

    @property
    def sqlite(self) -> bool:
        """Whether it is a file."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def read(self) -> Iterator[Connection]:
        """A transaction that sees one state of the database from beginning to end."""
        with told(self.place.name), self.engine.connect() as connection:
            if not self.sqlite:
                connection = connection.execution_options(isolation_level="REPEATABLE READ")
            with connection.begin():
                yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        """A transaction that is alone in writing; all of it is kept, or nothing."""
        # threads of one process queue here, in turn: SQLite's own waiting is not fair
        with self._turn, told(self.place.name), self.engine.connect() as connection:
            connection = connection.execution_options(**{_WRITES: True})
            with connection.begin():
                touched(connection)  # of a transaction before it that came to nothing
                if not self.sqlite:
                    connection.execute(text("SELECT pg_advisory_xact_lock(:k)"), {"k": _LOCK})
                yield connection
                _settle(connection)


def _settle(connection: Connection) -> None:
    """Look again at the jobs of which this transaction changed something."""
    changed = touched(connection)
    if changed is not None:
        from crewplan.store.finished import settle

        settle(connection, changed)


def revision_of(connection: Connection) -> str:
    """Which form the database has; empty: it has no tables of crewplan yet."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    return connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or ""


def refuse_newer(revision: str, name: str) -> None:
    """Raise NewerDatabase where the form is none that this program knows."""
    if revision and revision not in REVISIONS:
        raise NewerDatabase(
            f"{name} was written by a newer crewplan (form {revision}, this one knows up to "
            f"{REVISIONS[-1]}); install that one"
        )


def _first_form(store: Store) -> str:
    """The form, tried again for a while: several may open a fresh file in the same instant."""
    until = time.monotonic() + BUSY_S
    while True:
        try:
            with store.read() as connection:
                return revision_of(connection)
        except StoreFault as fault:
            if "busy" not in str(fault) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def open_store(place: Place, *, create: bool = False, keep_open: bool = False) -> Store:
    """The database, brought up to this program's form.

    Raises:
        StoreFault: it is not there (without `create`), cannot be opened, or is newer.
    """
    if place.file is not None and not create and not place.file.is_file():
        raise StoreFault(f"{place.name} is not there; crewplan import makes it")
    if place.file is not None and create:
        with told(place.name):
            place.file.parent.mkdir(parents=True, exist_ok=True)
    store = Store(place, keep_open=keep_open)
    revision = _first_form(store)
    refuse_newer(revision, place.name)
    if not revision and not create:
        raise StoreFault(f"{place.name} has no branch in it; crewplan import brings one")
    if revision != REVISIONS[-1]:
        from crewplan.store.migrating import migrate

        migrate(store, REVISIONS[-1])
    return store
