"""What a database says when it fails, as one sentence for people."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, NoSuchModuleError, SQLAlchemyError

from crewplan.store.faults import DatabaseFault, StoreFault

_WORDS: tuple[tuple[str, str], ...] = (
    ("database or disk is full", "the disk is full; nothing was written"),
    ("no space left", "the disk is full; nothing was written"),
    ("database is locked", "somebody else kept it busy for too long; nothing was written"),
    ("lock timeout", "somebody else kept it busy for too long; nothing was written"),
    ("readonly", "it may only be read; nothing was written"),
    ("read-only", "it may only be read; nothing was written"),
    ("unable to open", "it cannot be opened; its folder must be there and writable, even to read"),
    ("not a database", "it is no database of crewplan"),
    ("malformed", "it is damaged; crewplan restore brings a backup back"),
    ("disk i/o error", "the disk failed; what was acknowledged before is kept"),
    ("password", "the server does not know this name and password"),
    ("connection", "the server does not answer"),
)


def fault_of(name: str, error: BaseException) -> DatabaseFault:
    """In one sentence, without the statement that failed."""
    said = " ".join(str(getattr(error, "orig", None) or error).split())
    for sign, words in _WORDS:
        if sign in said.lower():
            return DatabaseFault(name, words)
    return DatabaseFault(name, said)


@contextmanager
def told(name: str) -> Iterator[None]:
    """Turn whatever a database raises into a `StoreFault`."""
    try:
        yield
    except (ModuleNotFoundError, NoSuchModuleError) as error:
        missing = 'PostgreSQL needs an extra: pip install "crewplan[postgres]"'
        raise StoreFault(
            missing if "psycopg" in str(error) else f"{name}: no such kind of database"
        ) from None
    except (DBAPIError, sqlite3.Error, OSError, SQLAlchemyError) as error:
        raise fault_of(name, error) from error
