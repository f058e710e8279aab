"""A backup is one SQLite file in the database's own form, whatever it was made from.

A file is copied by SQLite's own online backup while others write; a server's tables are copied,
all versions, in one transaction that sees one state. The same file goes back into either. Accounts,
links and what happened to them go along; open sessions do not, so that nobody can take one up from
a copy, and bringing a backup back signs everybody out.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from uuid import uuid4

from sqlalchemy import Connection, func, insert, select, text

from crewplan.store.account_schema import ACCOUNT_EVENTS, ACCOUNTS, LASTING, LINKS, PASSING
from crewplan.store.connecting import Store, open_store
from crewplan.store.faults import NotDone, StoreFault
from crewplan.store.place import Place, place_of
from crewplan.store.schema import (
    HOURS_SUMS,
    JOB_STATES,
    PLANS,
    RECORDS,
    SENT_FORMS,
    TABLE_ROWS,
    VERSIONS,
    WHOLE_TABLES,
    WORK_RULES,
)
from crewplan.store.state import own_tables_at
from crewplan.store.words_of_errors import told

_WORKED_OUT = (JOB_STATES, HOURS_SUMS, WORK_RULES)
_OF_THE_BRANCH = (VERSIONS, TABLE_ROWS, WHOLE_TABLES, PLANS, RECORDS, SENT_FORMS)
_TABLES = (*_OF_THE_BRANCH, *_WORKED_OUT, *LASTING)
_CHUNK_ROWS = 2000
_BESIDE = ("", "-wal", "-shm", "-journal")


@contextmanager
def _beside(target: Path) -> Iterator[Path]:
    """A name for a file that is not whole yet; gone after, whatever happens."""
    fresh = target.with_name(f".{target.name}.{uuid4().hex[:8]}")
    try:
        yield fresh
    finally:
        for ending in _BESIDE:
            with suppress(OSError):
                fresh.with_name(fresh.name + ending).unlink()


def _copy_file(source: Path, target: Path) -> None:
    """SQLite's online backup, on the disk when this returns."""
    with (
        told(str(target)),
        closing(sqlite3.connect(source, timeout=60)) as one,
        closing(sqlite3.connect(target, timeout=60)) as other,
    ):
        other.execute("PRAGMA synchronous = FULL")
        one.backup(other)


def _settled(file: Path) -> None:
    """One file, without a log beside it, on the disk."""
    with told(str(file)), closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA journal_mode = DELETE")
    with told(str(file)), file.open("rb") as handle:
        os.fsync(handle.fileno())


def _without_sessions(file: Path) -> None:
    """Take what passes out of a copy, so that its bytes are gone too."""
    with told(str(file)), closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA secure_delete = ON")
        for table in PASSING:
            connection.execute(f"DELETE FROM {table.name}")
        connection.commit()


def copy_versions(source: Connection, target: Connection) -> None:
    """All versions of one database into another that has none."""
    for table in _TABLES:
        rows = source.execution_options(yield_per=_CHUNK_ROWS).execute(
            select(table).order_by(*table.primary_key)
        )
        for chunk in rows.mappings().partitions(_CHUNK_ROWS):
            target.execute(insert(table), [dict(row) for row in chunk])


def _count_on(connection: Connection) -> None:
    """A server's own numbering of rows goes on after those that were copied."""
    for table in (TABLE_ROWS, WHOLE_TABLES, RECORDS, ACCOUNTS, ACCOUNT_EVENTS, LINKS):
        (key,) = table.primary_key
        last = connection.execute(select(func.max(key))).scalar()
        if last is not None:
            connection.execute(
                text("SELECT setval(pg_get_serial_sequence(:name, :key), :last)"),
                {"name": table.name, "key": key.name, "last": last},
            )


def back_up(place: Place, out: Path) -> None:
    """Write a backup while the database may be in use.

    Raises:
        NotDone: `out` is there already.
        StoreFault: the database or the disk fails; there is no half backup then.
    """
    if out.exists():
        raise NotDone(f"{out} is there already; give a new name")
    store = open_store(place)
    with told(str(out)):
        out.parent.mkdir(parents=True, exist_ok=True)
    with _beside(out) as fresh:
        if place.file is not None:
            _copy_file(place.file, fresh)
            _without_sessions(fresh)
        else:
            copy = open_store(Place(f"sqlite:///{fresh}", fresh), create=True)
            with store.read() as source, copy.write() as target:
                copy_versions(source, target)
            copy.engine.dispose()
        _settled(fresh)
        with told(str(out)):
            os.replace(fresh, out)


def _refuse_damaged(file: Path, name: str) -> None:
    """Raise StoreFault, naming what somebody gave, unless a file is a whole database."""
    try:
        with closing(sqlite3.connect(file)) as connection:
            found = connection.execute("PRAGMA integrity_check").fetchone()[0]
            whole = found == "ok" and not connection.execute("PRAGMA foreign_key_check").fetchone()
    except sqlite3.Error:
        whole = False
    if not whole:
        raise StoreFault(f"{name} is damaged, or no backup of crewplan; nothing was restored")


def _check(copy: Path, name: str) -> Store:
    """Raise StoreFault unless a copy of the backup is whole, of a known form, and can be read."""
    _refuse_damaged(copy, name)
    with suppress(NotDone):  # a database without an import yet is a whole one too
        store = open_store(Place(f"sqlite:///{copy}", copy, name))
        with store.read() as reading:
            own_tables_at(reading)
    return store


def restore(backup: Path, to: str | Path, *, replace: bool = False) -> Place:
    """Bring a backup back into a folder or a server; where it went.

    Raises:
        NotDone: a database is there, and `replace` does not say so.
        StoreFault: the backup is damaged, or newer than this program; nothing was changed.
    """
    if not backup.is_file():
        raise StoreFault(f"{backup} is not there")
    place = place_of(to)
    scratch = place.file if place.file is not None else backup
    _refuse_damaged(backup, str(backup))  # before a folder is made for it
    with told(str(scratch)):
        scratch.parent.mkdir(parents=True, exist_ok=True)
    with _beside(scratch) as fresh:
        _copy_file(backup, fresh)
        checked = _check(fresh, str(backup))
        if place.file is None:
            _into_server(checked, place, replace)
        elif not place.file.exists():
            _settled(fresh)
            with told(place.name):
                os.replace(fresh, place.file)
        elif not replace:
            raise NotDone(f"{place.name} is there already; --replace puts the backup in its place")
        else:
            # in one transaction of SQLite's own: others may have the file open
            _copy_file(fresh, place.file)
    return place


def _into_server(source: Store, place: Place, replace: bool) -> None:
    store = open_store(place, create=True)
    with source.read() as reading, store.write() as writing:
        if writing.execute(select(func.count()).select_from(VERSIONS)).scalar():
            if not replace:
                raise NotDone(
                    f"{place.name} has a branch already; --replace puts the backup in its place"
                )
            names = ", ".join(table.name for table in (*_TABLES, *PASSING))
            writing.execute(text(f"TRUNCATE {names}"))
        copy_versions(reading, writing)
        _count_on(writing)
