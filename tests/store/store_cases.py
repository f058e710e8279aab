"""A small branch for the tests of the database, and short ways to import and to read it."""

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import func, select

from crewplan.intake import OwnTables, read_own_tables
from crewplan.store.connecting import Store
from crewplan.store.importing import Draft, accept, look_at
from crewplan.store.rows import StoredRow, rows_at
from crewplan.store.schema import VERSIONS
from crewplan.store.state import own_tables_at

BASE = Path(__file__).parents[1] / "faults" / "_base"
AT = datetime(2026, 5, 3, 23, 0, tzinfo=UTC)
PLAN = "stage,part,crew,start_on,start_half,half_days,pinned\nS1,1,Blue,2026-05-04,am,2,no\n"


@dataclass(frozen=True, slots=True)
class Done:
    """What a command left behind."""

    returncode: int
    stdout: str
    stderr: str


def folder_with(to: Path, **files: str) -> Path:
    """The small valid branch, with some tables in place of its own or beside them."""
    shutil.copytree(BASE, to, dirs_exist_ok=True)
    for name, text in files.items():
        (to / f"{name}.csv").write_text(text, encoding="utf-8")
    return to


def without(folder: Path, table: str, word: str) -> str:
    """A table's text without the rows that hold a word in a cell of their own."""
    lines = (folder / f"{table}.csv").read_text(encoding="utf-8").splitlines(keepends=True)
    return "".join(line for line in lines if word not in line.strip().split(","))


def look(store: Store, folder: Path, **options: object) -> Draft:
    with store.read() as connection:
        return look_at(connection, read_own_tables(folder), **options)  # type: ignore[arg-type]


def take_in(store: Store, folder: Path, by: str = "ann", **options: object) -> int:
    draft = look(store, folder, **options)
    with store.write() as connection:
        return accept(connection, draft, by, AT)


def tables_into(store: Store, folder: Path, by: str = "ann", **files: str) -> int:
    return take_in(store, folder_with(folder, **files), by)


def now_in(store: Store, version: int | None = None) -> OwnTables:
    with store.read() as connection:
        return own_tables_at(connection, version)


def stored_rows(store: Store, table: str, version: int | None = None) -> list[StoredRow]:
    with store.read() as connection:
        return rows_at(connection, version, table).get(table, [])


def count_versions(store: Store) -> int:
    with store.read() as connection:
        return connection.execute(select(func.count()).select_from(VERSIONS)).scalar_one()
